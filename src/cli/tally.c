// From shares to whole counts: largest remainder.
#include "cli/tally.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum
{
	kTotal = 100,
	kSmall = 2 // lines below this are joined
};

static const char *text_of(const json_t *object, const char *key)
{
	return json_string_value(json_object_get(object, key));
}

// each cause goes to the group of its first fault; the likeliest gives the name
static int add_causes(const json_t *answer, dk_tally_line *line)
{
	int count = 0;
	size_t i;
	json_t *cause;
	double best[DK_TALLY_MOST];
	json_array_foreach(json_object_get(answer, "causes"), i, cause)
	{
		const double share = json_number_value(json_object_get(cause, "probability"));
		const char *id = text_of(cause, "group") ? text_of(cause, "group") : text_of(cause, "id");
		int k = 0;
		while (k < count && strcmp(line[k].id, id) != 0) ++k;
		if (k == DK_TALLY_MOST - 3) continue;
		if (k == count)
		{
			line[count++] = (dk_tally_line){ .id = id };
			best[k] = -1;
		}
		line[k].share += share;
		if (share <= best[k]) continue;
		best[k] = share;
		line[k].name = text_of(cause, "name");
	}
	return count;
}

// whole counts that sum to 100: the open ones go to the largest remainders, the first of equals
static void fill_counts(dk_tally_line *line, int count)
{
	double whole = 0, rest[DK_TALLY_MOST];
	int open = kTotal;
	for (int i = 0; i < count; ++i) whole += line[i].share;
	for (int i = 0; i < count; ++i)
	{
		const double exact = whole > 0 ? kTotal * line[i].share / whole : 0;
		line[i].count = (int)floor(exact);
		rest[i] = exact - line[i].count;
		open -= line[i].count;
	}
	for (; open > 0; --open)
	{
		int most = 0;
		for (int i = 1; i < count; ++i)
			if (rest[i] > rest[most]) most = i;
		line[most].count++;
		rest[most] -= 1;
	}
}

// a stroke that must be drawn comes from the largest line
static void at_least_one(dk_tally_line *line, int count, int which)
{
	int most = 0;
	for (int i = 1; i < count; ++i)
		if (line[i].count > line[most].count) most = i;
	if (line[which].count || line[most].count < 2) return;
	line[most].count--;
	line[which].count++;
}

static int by_count(const void *a, const void *b)
{
	const dk_tally_line *x = a, *y = b;
	if (x->count != y->count) return y->count - x->count;
	if (x->share != y->share) return x->share < y->share ? 1 : -1;
	return strcmp(x->id, y->id);
}

int dk_tally_make(const json_t *answer, dk_tally_line line[DK_TALLY_MOST])
{
	const int causes = add_causes(answer, line);
	dk_tally_line last[2] = { { .name = "nothing broken" }, { .name = "something we don't know" } };
	last[0].share = json_number_value(json_object_get(answer, "healthy"));
	last[1].share = json_number_value(json_object_get(answer, "none_of_these"));
	memcpy(&line[causes], last, sizeof last);
	fill_counts(line, causes + 2);
	at_least_one(line, causes + 2, causes);
	at_least_one(line, causes + 2, causes + 1);
	memcpy(last, &line[causes], sizeof last);
	qsort(line, (size_t)causes, sizeof *line, by_count);

	// one small line stays itself, several are joined
	int big = 0;
	while (big < causes && line[big].count >= kSmall) ++big;
	int lines = big + (causes - big == 1);
	if (causes - big > 1)
	{
		dk_tally_line others = { .name = "others, each 1 or less", .joined = causes - big };
		for (int i = big; i < causes; ++i)
		{
			others.count += line[i].count;
			others.share += line[i].share;
		}
		line[lines++] = others;
	}
	memcpy(&line[lines], last, sizeof last);
	return lines + 2;
}
