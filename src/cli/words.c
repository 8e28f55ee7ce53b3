// The words, in tables.
#include "cli/words.h"
#include <ctype.h>
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

const char *dk_words_odds(double p)
{
	static const struct
	{
		double from;
		const char *words;
	} kOdds[] = {
		{ 0.95, "nearly all" },
		{ 0.85, "about 9 in 10" },
		{ 0.71, "about 3 in 4" },
		{ 0.59, "about 2 in 3" },
		{ 0.42, "about half" },
		{ 0.29, "about 1 in 3" },
		{ 0.225, "about 1 in 4" },
		{ 0.14, "about 1 in 5" },
		{ 0.05, "about 1 in 10" },
	};
	for (size_t i = 0; i < sizeof kOdds / sizeof *kOdds; ++i)
		if (p >= kOdds[i].from) return kOdds[i].words;
	return "unlikely, still open";
}

// the second text of the row whose first is the id
static const char *find(const char *const (*table)[2], int count, const char *id)
{
	for (int i = 0; i < count; ++i)
		if (!strcmp(table[i][0], id)) return table[i][1];
	return id;
}

const char *dk_words_place(const char *id)
{
	static const char *const kPlaces[][2] = {
		{ "cockpit", "in the cockpit" },
		{ "engine_face", "at the engine's face" },
		{ "engine_back", "at the back of the engine" },
		{ "aft", "aft" },
		{ "outlet", "at the exhaust outlet" },
	};
	return find(kPlaces, sizeof kPlaces / sizeof *kPlaces, id);
}

const char *dk_words_point(const char *id)
{
	static const char *const kPoints[][2] = {
		{ "key_on", "key on, engine stopped" },
		{ "cold_crank", "cranking from cold" },
		{ "cold_idle", "just after the first fire" },
		{ "warm_idle", "warm, at idle" },
		{ "cruise", "at your usual revs" },
		{ "full", "full ahead" },
		{ "no_load", "full throttle in neutral" },
		{ "stopped_hot", "after a run" },
	};
	return find(kPoints, sizeof kPoints / sizeof *kPoints, id);
}

const char *dk_words_strength(double log_ratio)
{
	const double size = fabs(log_ratio);
	const bool on_its_side = log_ratio > 0;
	if (!(size >= 0.2)) return NULL;
	if (size >= 2) return on_its_side ? "strongly for" : "strongly against";
	if (size >= 0.7) return on_its_side ? "plainly for" : "plainly against";
	return on_its_side ? "a little for" : "a little against";
}

char *dk_words_observation(const char *name, char *text, size_t size)
{
	const char *at = strchr(name, '@');
	if (at)
		snprintf(text, size, "%.*s, %s", (int)(at - name), name, dk_words_point(at + 1));
	else
		snprintf(text, size, "%s", name);
	return text;
}

// length of a key in brackets and the space after it, 0 when this is none
static size_t key_length(const char *text)
{
	size_t length = 1;
	if (text[0] != '[') return 0;
	while (isupper((unsigned char)text[length]) || isdigit((unsigned char)text[length]) ||
	       text[length] == '-' || text[length] == '_')
		++length;
	if (length == 1 || text[length] != ']') return 0;
	return length + 1 + (text[length + 1] == ' ');
}

char *dk_words_source(const char *source, char *text, size_t size)
{
	static const char assumed[] = "ASSUMED-";
	text[0] = 0;
	for (size_t used = 0; *source && used + 16 < size; used = strlen(text))
	{
		const size_t key = key_length(source);
		if (key)
			source += key;
		else if (!strncmp(source, assumed, sizeof assumed - 1))
		{
			source += sizeof assumed - 1;
			while (isdigit((unsigned char)*source)) ++source;
			snprintf(text + used, size - used, "our assumption");
		}
		else
			snprintf(text + used, size - used, "%c", *source++);
	}
	return text;
}
