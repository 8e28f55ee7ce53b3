// Looks a row up, reads its arguments, calls it.
#include "app/calc.h"
#include "base/json.h"
#include "base/units.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static const dk_calc_row *const kTables[] = { dk_calc_cylinder, dk_calc_plant };

static const dk_calc_row *find_row(const char *name, dk_error *error)
{
	const char *names[128];
	int count = 0;
	for (int t = 0; t < 2; ++t)
		for (const dk_calc_row *row = kTables[t]; row->name; ++row)
		{
			if (!strcmp(row->name, name)) return row;
			if (count < 128) names[count++] = row->name;
		}
	dk_error_set(error, DK_UNKNOWN_NAME, "there is no calculation '%.60s'", name);
	dk_error_field(error, "calc");
	dk_error_nearest(error, name, names, count);
	if (error && !error->advice[0]) dk_error_advice(error, "'donkeyman calc --list' shows them all");
	return NULL;
}

static int argument_count(const dk_calc_row *row)
{
	int count = 0;
	while (count < DK_CALC_ARGUMENTS && row->argument[count].name) ++count;
	return count;
}

// one word of a few
static dk_status read_word(const dk_calc_argument *argument, const char *text, double *value, dk_error *error)
{
	int count = 0;
	for (; count < DK_CALC_WORDS && argument->word[count]; ++count)
		if (!strcmp(argument->word[count], text))
		{
			*value = count;
			return DK_OK;
		}
	dk_error_set(error, DK_BAD_INPUT, "'%.40s' is not one of its words", text);
	dk_error_field(error, argument->name);
	char all[200] = "";
	for (int i = 0; i < count; ++i)
	{
		if (i) strncat(all, ", ", sizeof all - strlen(all) - 1);
		strncat(all, argument->word[i], sizeof all - strlen(all) - 1);
	}
	return dk_error_advice(error, "it takes %s", all);
}

static dk_status read_argument(
    const dk_calc_row *row, const char *text, double *in, bool *seen, dk_error *error)
{
	const char *names[DK_CALC_ARGUMENTS];
	const int count = argument_count(row);
	const char *equals = strchr(text, '=');
	const size_t length = equals ? (size_t)(equals - text) : strlen(text);
	for (int i = 0; i < count; ++i)
	{
		const dk_calc_argument *argument = &row->argument[i];
		names[i] = argument->name;
		if (!equals || strlen(argument->name) != length || strncmp(argument->name, text, length)) continue;
		if (seen[i])
		{
			dk_error_set(error, DK_CONTRADICTION, "it is given twice");
			return dk_error_field(error, argument->name);
		}
		seen[i] = true;
		if (argument->word[0]) return read_word(argument, equals + 1, &in[i], error);
		return dk_unit_read_range(equals + 1, argument->unit, DK_BARE_TABLE, argument->low, argument->high,
		    argument->name, &in[i], error);
	}
	char key[64];
	snprintf(key, sizeof key, "%.*s", (int)(length < 60 ? length : 60), text);
	dk_error_set(error, DK_UNKNOWN_NAME,
	    equals ? "calc %s has no argument '%s'" : "calc %s: '%s' is not key=value", row->name, key);
	dk_error_field(error, "calc");
	return dk_error_nearest(error, key, names, count);
}

static json_t *valued(double value, const char *unit)
{
	json_t *out = json_object();
	json_object_set_new(out, "value", dk_json_number(value));
	json_object_set_new(out, "unit", dk_json_text(unit));
	return out;
}

dk_status dk_app_calc(const char *name, const char *const *text, int count, json_t **out, dk_error *error)
{
	const dk_calc_row *row = find_row(name, error);
	if (!row) return DK_UNKNOWN_NAME;
	double in[DK_CALC_ARGUMENTS], result[DK_CALC_RESULTS];
	bool seen[DK_CALC_ARGUMENTS] = { false };
	const int arguments = argument_count(row);
	for (int i = 0; i < arguments; ++i) in[i] = row->argument[i].fallback;
	for (int i = 0; i < count; ++i) DK_TRY(read_argument(row, text[i], in, seen, error));
	for (int i = 0; i < arguments; ++i)
		if (isnan(in[i]))
		{
			dk_error_set(error, DK_MISSING, "calc %s needs it", row->name);
			dk_error_field(error, row->argument[i].name);
			return row->argument[i].word[0] ? DK_MISSING
			                                : dk_error_range(error, row->argument[i].low,
			                                      row->argument[i].high, row->argument[i].unit);
		}
	const char *why = row->refuse ? row->refuse(in) : NULL;
	if (why)
	{
		dk_error_set(error, DK_CONTRADICTION, "%s", why);
		return dk_error_field(error, row->name);
	}
	for (int i = 0; i < DK_CALC_RESULTS; ++i) result[i] = NAN;
	row->work(in, result);

	json_t *given = json_object(), *results = json_object();
	for (int i = 0; i < arguments; ++i)
		json_object_set_new(given, row->argument[i].name,
		    row->argument[i].word[0] ? valued(0, "-") : valued(in[i], row->argument[i].unit));
	for (int i = 0; i < arguments; ++i)
		if (row->argument[i].word[0])
			json_object_set_new(
			    given, row->argument[i].name, dk_json_text(row->argument[i].word[(int)in[i]]));
	for (int i = 0; i < DK_CALC_RESULTS && row->result[i].name; ++i)
		json_object_set_new(results, row->result[i].name, valued(result[i], row->result[i].unit));
	*out = json_object();
	json_object_set_new(*out, "name", dk_json_text(row->name));
	json_object_set_new(*out, "arguments", given);
	json_object_set_new(*out, "results", results);
	return DK_OK;
}

// one row as --list shows it
static json_t *row_json(const dk_calc_row *row)
{
	json_t *arguments = json_array(), *results = json_array(), *out = json_object();
	for (int i = 0; i < argument_count(row); ++i)
	{
		const dk_calc_argument *argument = &row->argument[i];
		json_t *one = json_object();
		json_object_set_new(one, "name", dk_json_text(argument->name));
		if (argument->word[0])
		{
			json_t *words = json_array();
			for (int w = 0; w < DK_CALC_WORDS && argument->word[w]; ++w)
				json_array_append_new(words, dk_json_text(argument->word[w]));
			json_object_set_new(one, "words", words);
			json_object_set_new(one, "default",
			    isnan(argument->fallback) ? json_null()
			                              : dk_json_text(argument->word[(int)argument->fallback]));
		}
		else
		{
			json_object_set_new(one, "unit", dk_json_text(argument->unit));
			json_object_set_new(one, "low", dk_json_number(argument->low));
			json_object_set_new(one, "high", dk_json_number(argument->high));
			json_object_set_new(one, "default", dk_json_number(argument->fallback));
		}
		json_array_append_new(arguments, one);
	}
	for (int i = 0; i < DK_CALC_RESULTS && row->result[i].name; ++i)
	{
		json_t *one = json_object();
		json_object_set_new(one, "name", dk_json_text(row->result[i].name));
		json_object_set_new(one, "unit", dk_json_text(row->result[i].unit));
		json_array_append_new(results, one);
	}
	json_object_set_new(out, "name", dk_json_text(row->name));
	json_object_set_new(out, "about", dk_json_text(row->about));
	json_object_set_new(out, "arguments", arguments);
	json_object_set_new(out, "results", results);
	return out;
}

json_t *dk_app_calc_list(void)
{
	json_t *out = json_array();
	for (int t = 0; t < 2; ++t)
		for (const dk_calc_row *row = kTables[t]; row->name; ++row) json_array_append_new(out, row_json(row));
	return out;
}
