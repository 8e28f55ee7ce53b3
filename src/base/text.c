#include "base/text.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

enum
{
	LONGEST_WORD = 63
};

static int least(int a, int b)
{
	return a < b ? a : b;
}

// Damerau-Levenshtein with neighbours swapped once (optimal string alignment), three rows at a time.
int dk_text_distance(const char *a, const char *b)
{
	const size_t m = strlen(a), n = strlen(b);
	if (m > LONGEST_WORD || n > LONGEST_WORD) return LONGEST_WORD + 1;
	int row[3][LONGEST_WORD + 1];
	int *before = row[0], *last = row[1], *now = row[2];
	for (size_t j = 0; j <= n; ++j) last[j] = (int)j;
	for (size_t i = 1; i <= m; ++i)
	{
		now[0] = (int)i;
		for (size_t j = 1; j <= n; ++j)
		{
			const int change = last[j - 1] + (a[i - 1] != b[j - 1]);
			now[j] = least(change, least(last[j], now[j - 1]) + 1);
			const bool swapped = i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1];
			if (swapped) now[j] = least(now[j], before[j - 2] + 1);
		}
		int *oldest = before;
		before = last, last = now, now = oldest;
	}
	return last[n];
}

int dk_text_nearest(const char *word, const char *const *names, int count)
{
	const size_t length = strlen(word);
	int limit = (int)((length + 1) / 3), best = -1;
	if (length < 3) return -1; // any short word is near to any other
	if (limit > 3) limit = 3;
	int best_distance = limit + 1;
	for (int i = 0; i < count; ++i)
	{
		const int distance = dk_text_distance(word, names[i]);
		if (distance < best_distance) best = i, best_distance = distance;
	}
	if (best >= 0) return best;

	// "coolant" for "gauge.coolant"
	for (int i = 0; i < count; ++i)
		if (strstr(names[i], word)) return i;
	return -1;
}

int dk_text_index(const char *word, const char *const *names, int count)
{
	for (int i = 0; i < count; ++i)
		if (!strcmp(word, names[i])) return i;
	return -1;
}

// takes zeros off the end of the decimals, and a bare point
static void trim(char *text)
{
	if (!strchr(text, '.') || strchr(text, 'e')) return;
	size_t n = strlen(text);
	while (n && text[n - 1] == '0') text[--n] = 0;
	if (n && text[n - 1] == '.') text[--n] = 0;
}

char *dk_text_number(double value, int digits, char *text, size_t size)
{
	if (!size) return text;
	if (!isfinite(value))
	{
		snprintf(text, size, "unknown");
		return text;
	}
	const double magnitude = fabs(value);
	if (digits < 1) digits = 1;
	if (digits > 17) digits = 17;
	char line[64];
	if (magnitude != 0 && (magnitude < 1e-4 || magnitude >= 1e7))
	{
		snprintf(line, sizeof line, "%.*g", digits, value);
	}
	else
	{
		// the exponent after rounding decides how many decimals are left
		char rounded[64];
		snprintf(rounded, sizeof rounded, "%.*e", digits - 1, value);
		const char *e = strchr(rounded, 'e');
		int power = 0;
		if (e) sscanf(e + 1, "%d", &power);
		const int decimals = digits - 1 - power;
		snprintf(line, sizeof line, "%.*f", decimals > 0 ? decimals : 0, value);
		trim(line);
	}
	if (!strcmp(line, "-0")) snprintf(line, sizeof line, "0");
	snprintf(text, size, "%s", line);
	return text;
}

bool dk_text_is_id(const char *text)
{
	const size_t n = strlen(text);
	if (n < 1 || n > LONGEST_WORD || text[0] < 'a' || text[0] > 'z' || text[n - 1] == '.') return false;
	for (size_t i = 0; i < n; ++i)
	{
		const char c = text[i];
		const bool plain = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '_';
		if (!plain && (c != '.' || text[i - 1] == '.')) return false;
	}
	return true;
}

// length of the UTF-8 sequence at s, 0 when it is broken, overlong, a surrogate or beyond U+10FFFF
static size_t sequence(const unsigned char *s, size_t left)
{
	if (s[0] < 0x80) return 1;
	size_t n = 0;
	unsigned code = 0, smallest = 0;
	if (s[0] >= 0xc2 && s[0] <= 0xdf)
		n = 2, code = s[0] & 0x1fu, smallest = 0x80;
	else if ((s[0] & 0xf0) == 0xe0)
		n = 3, code = s[0] & 0x0fu, smallest = 0x800;
	else if (s[0] >= 0xf0 && s[0] <= 0xf4)
		n = 4, code = s[0] & 0x07u, smallest = 0x10000;
	if (!n || n > left) return 0;
	for (size_t i = 1; i < n; ++i)
	{
		if ((s[i] & 0xc0) != 0x80) return 0;
		code = code << 6 | (s[i] & 0x3fu);
	}
	const bool surrogate = code >= 0xd800 && code <= 0xdfff;
	const bool control = (code >= 0x80 && code < 0xa0) || code == 0xfeff || code == 0xfffe ||
	                     code == 0xffff || code == 0x2028 || code == 0x2029;
	return code < smallest || code > 0x10ffff || surrogate || control ? 0 : n;
}

bool dk_text_is_clean(const char *text, size_t size, int *line, int *column)
{
	const unsigned char *s = (const unsigned char *)text;
	int row = 1, col = 1;
	for (size_t i = 0; i < size;)
	{
		const size_t n = sequence(s + i, size - i);
		const unsigned char c = s[i];
		const bool line_end = c == '\r' && i + 1 < size && s[i + 1] == '\n';
		if (!n || c == 0x7f || (c < 0x20 && c != '\t' && c != '\n' && !line_end))
		{
			if (line) *line = row;
			if (column) *column = col;
			return false;
		}
		if (c == '\n')
			++row, col = 1;
		else
			++col;
		i += n;
	}
	return true;
}

void dk_text_tame(char *text)
{
	const size_t size = strlen(text);
	for (size_t i = 0; i < size;)
	{
		const unsigned char c = (unsigned char)text[i];
		const size_t n = c < 0x20 || c == 0x7f ? 0 : sequence((const unsigned char *)text + i, size - i);
		if (!n) text[i] = '?';
		i += n ? n : 1;
	}
}
