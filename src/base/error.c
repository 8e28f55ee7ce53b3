#include "base/error.h"
#include "base/text.h"
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

// "…" of a text that was cut, so that nobody takes it for whole
static void copy(char *to, size_t size, const char *from)
{
	const size_t length = strlen(from);
	if (length < size)
	{
		memcpy(to, from, length + 1);
		return;
	}
	size_t keep = size - 4;
	while (keep && ((unsigned char)from[keep] & 0xc0) == 0x80) --keep;
	memcpy(to, from, keep);
	memcpy(to + keep, "...", 4);
}

dk_status dk_error_set(dk_error *error, dk_status status, const char *what, ...)
{
	if (!error) return status;
	memset(error, 0, sizeof *error);
	error->status = status;
	char line[1024];
	va_list list;
	va_start(list, what);
	vsnprintf(line, sizeof line, what, list);
	va_end(list);
	copy(error->what, sizeof error->what, line);
	return status;
}

static dk_status status_of(const dk_error *error)
{
	return error && error->status != DK_OK ? error->status : DK_BAD_INPUT;
}

dk_status dk_error_field(dk_error *error, const char *field)
{
	if (error) copy(error->field, sizeof error->field, field ? field : "");
	return status_of(error);
}

dk_status dk_error_range(dk_error *error, double low, double high, const char *unit)
{
	if (error)
	{
		error->low = low, error->high = high, error->has_range = true;
		copy(error->unit, sizeof error->unit, unit && strcmp(unit, "-") ? unit : "");
	}
	return status_of(error);
}

dk_status dk_error_at(dk_error *error, const char *file, int line, int column)
{
	if (error)
	{
		copy(error->file, sizeof error->file, file ? file : "");
		error->line = line, error->column = column;
	}
	return status_of(error);
}

dk_status dk_error_advice(dk_error *error, const char *advice, ...)
{
	if (!error) return DK_BAD_INPUT;
	char line[1024];
	va_list list;
	va_start(list, advice);
	vsnprintf(line, sizeof line, advice, list);
	va_end(list);
	copy(error->advice, sizeof error->advice, line);
	return status_of(error);
}

dk_status dk_error_nearest(dk_error *error, const char *word, const char *const *names, int count)
{
	const int i = dk_text_nearest(word, names, count);
	if (i < 0) return status_of(error);
	return dk_error_advice(error, "did you mean '%s'?", names[i]);
}

char *dk_error_text(const dk_error *error, char *text, size_t size)
{
	if (!size) return text;
	char place[200] = "", field[112] = "", range[128] = "", low[40], high[40];
	if (error->file[0] && error->line > 0)
		snprintf(place, sizeof place, "%s:%d:%d: ", error->file, error->line, error->column);
	else if (error->file[0])
		snprintf(place, sizeof place, "%s: ", error->file);
	if (error->field[0]) snprintf(field, sizeof field, "%s: ", error->field);
	if (error->has_range)
	{
		dk_text_number(error->low, 6, low, sizeof low);
		dk_text_number(error->high, 6, high, sizeof high);
		snprintf(range, sizeof range, "; allowed: %s to %s%s%s", low, high, error->unit[0] ? " " : "",
		    error->unit);
	}
	const char *what = error->what[0] ? error->what : dk_status_text(error->status);
	snprintf(
	    text, size, "%s%s%s%s%s%s", place, field, what, range, error->advice[0] ? "; " : "", error->advice);
	dk_text_tame(text); // what was given is shown, and must not upset a terminal or a log
	return text;
}
