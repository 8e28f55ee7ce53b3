// Answers as text. No sums here: numbers come from the answer as they are.
#include "cli/show.h"
#include <math.h>
#include <stdio.h>
#include <string.h>

static const char *text_of(const json_t *object, const char *key)
{
	const char *text = json_string_value(json_object_get(object, key));
	return text ? text : "";
}

static double number_of(const json_t *object, const char *key)
{
	const json_t *value = json_object_get(object, key);
	return json_is_number(value) ? json_number_value(value) : NAN;
}

// a number in a column, a dash for what does not happen
static void print_number(double value, int width)
{
	if (isnan(value))
		printf("%*s", width, "-");
	else
		printf("%*.4g", width, value);
}

const char *dk_odds_words(double p)
{
	if (p >= 0.95) return "nearly all";
	if (p >= 0.85) return "about 9 in 10";
	if (p >= 0.70) return "about 3 in 4";
	if (p >= 0.58) return "about 2 in 3";
	if (p >= 0.42) return "about half";
	if (p >= 0.29) return "about 1 in 3";
	if (p >= 0.225) return "about 1 in 4";
	if (p >= 0.14) return "about 1 in 5";
	if (p >= 0.05) return "about 1 in 10";
	return "unlikely, still open";
}

static void print_condition(const json_t *answer)
{
	const json_t *condition = json_object_get(answer, "condition");
	printf("air %.3g degC, sea %.3g degC, %.4g bar\n", number_of(condition, "air_degc"),
	    number_of(condition, "sea_degc"), number_of(condition, "pressure_bar"));
	size_t i;
	json_t *fault;
	json_array_foreach(json_object_get(answer, "faults"), i, fault)
	    printf("broken: %s (%s), severity %.3g: %s\n", text_of(fault, "name"), text_of(fault, "id"),
	        number_of(fault, "severity"), text_of(fault, "measure"));
}

void dk_show_run(const json_t *answer)
{
	printf("%s%s at %s: %s. Lever %.3g. %s.\n", text_of(answer, "engine"),
	    json_is_true(json_object_get(answer, "invented")) ? " (invented)" : "", text_of(answer, "point"),
	    text_of(answer, "about"), number_of(answer, "lever"), text_of(answer, "status"));
	print_condition(answer);
	printf("\n%-22s %10s %10s  %s\n", "reading", "this", "healthy", "unit");
	const char *id;
	json_t *reading;
	json_object_foreach(json_object_get(answer, "readings"), id, reading)
	{
		printf("%-22s ", id);
		print_number(number_of(reading, "value"), 10);
		printf(" ");
		print_number(number_of(reading, "healthy"), 10);
		printf("  %s\n", text_of(reading, "unit"));
	}
	printf("\nA dash: it does not happen. The spread of each reading is in 'donkeyman list readings'.\n");
}

void dk_show_crank(const json_t *answer)
{
	printf("%s%s on the starter.\n", text_of(answer, "engine"),
	    json_is_true(json_object_get(answer, "invented")) ? " (invented)" : "");
	print_condition(answer);
	printf("\n%4s %8s %6s %8s %10s %9s %8s %12s %8s\n", "try", "seconds", "rest", "speed", "battery",
	    "current", "charge", "fires after", "advice");
	size_t i;
	json_t *one;
	json_array_foreach(json_object_get(answer, "tries"), i, one)
	{
		printf("%4zu %7.3gs %5.3gs %5.4g rpm %7.3g V %7.4g A %7.3g ", i + 1, number_of(one, "seconds"),
		    number_of(one, "rest"), number_of(one, "crank_speed_rpm"), number_of(one, "battery_volts"),
		    number_of(one, "crank_current_amps"), number_of(one, "charge_before"));
		if (json_is_true(json_object_get(one, "fires")))
			printf("%9.3g s ", number_of(one, "seconds_to_fire"));
		else
			printf("%11s ", json_is_true(json_object_get(one, "turns")) ? "does not" : "won't turn");
		printf("%6.3g s\n", number_of(json_object_get(one, "flood_before"), "advice"));
	}
	const json_t *left = json_object_get(answer, "flood_left");
	printf("\nCranking left before the wet exhaust could flood the engine: %.3g s to go by (the manual "
	       "allows %.3g s in "
	       "all);\n%.3g s at the mean, %.3g s with 5 in 100 worse.\n%s\n",
	    number_of(left, "advice"), number_of(answer, "manual_seconds"), number_of(left, "seconds"),
	    number_of(left, "low_5_percent"), text_of(answer, "caution"));
}

static void print_lines(const json_t *list, const char *lead)
{
	size_t i;
	json_t *line;
	json_array_foreach(list, i, line) printf("%s%s\n", lead, json_string_value(line));
}

static void print_red(const json_t *red)
{
	if (!json_is_object(red)) return;
	printf("*** %s ***\n", text_of(red, "order"));
	print_lines(json_object_get(red, "then"), "    ");
	printf("    %s\n", text_of(red, "reason"));
	print_lines(json_object_get(red, "waiting"), "    also holds: ");
	printf("\n");
}

static void print_next(const json_t *next)
{
	printf("Look next at: %s  (%.2g min, %s%s)\n", text_of(next, "name"), number_of(next, "minutes"),
	    text_of(next, "place"), json_is_string(json_object_get(next, "held_back")) ? ", held back" : "");
	if (json_is_string(json_object_get(next, "held_back")))
		printf("    held back: %s\n", text_of(next, "held_back"));
	print_lines(json_object_get(next, "cautions"), "    CAUTION: ");
	print_lines(json_object_get(next, "gates"), "    first answer the gate: ");
	print_lines(json_object_get(next, "steps"), "    - ");
	size_t i;
	json_t *answer;
	json_array_foreach(json_object_get(next, "answers"), i, answer)
	    printf("      %-28s %3.0f in 100\n", text_of(answer, "text"), 100 * number_of(answer, "chance"));
}

// the likeliest cause of a group, which carries severity and reasons
static const json_t *first_of_group(const json_t *answer, const char *group)
{
	size_t i;
	json_t *cause;
	json_array_foreach(json_object_get(answer, "causes"), i,
	    cause) if (!strcmp(text_of(cause, "group"), group)) return cause;
	return NULL;
}

static void print_reasons(const json_t *cause)
{
	size_t i;
	json_t *why;
	printf("           alone %.0f %% (%.0f to %.0f); %s; mend: %s\n", 100 * number_of(cause, "probability"),
	    100 * number_of(cause, "low"), 100 * number_of(cause, "high"),
	    text_of(json_object_get(cause, "severity"), "text"), text_of(cause, "repair"));
	json_array_foreach(json_object_get(cause, "why"), i, why) if (fabs(number_of(why, "log_ratio")) >= 0.2)
	    printf("           %s %s (%.2g)\n",
	        number_of(why, "log_ratio") > 0 ? "for:    " : "against:", text_of(why, "observation"),
	        number_of(why, "log_ratio"));
}

static void print_causes(const json_t *answer)
{
	size_t i, k;
	json_t *group, *fault;
	printf("Alone or with another fault:\n");
	json_array_foreach(json_object_get(answer, "groups"), i, group)
	{
		const double chance = number_of(group, "probability");
		if (i >= 8 || chance < 0.005) break;
		printf("%5.1f %%  %s: %s  [%s", 100 * chance, dk_odds_words(chance), text_of(group, "name"),
		    text_of(group, "id"));
		json_array_foreach(json_object_get(group, "faults"), k,
		    fault) if (strcmp(json_string_value(fault), text_of(group, "id")) != 0)
		    printf(" or %s", json_string_value(fault));
		printf("]\n");
		const json_t *cause = first_of_group(answer, text_of(group, "id"));
		if (cause && i < 3) print_reasons(cause);
	}
	printf("%5.1f %%  nothing broken\n%5.1f %%  something we don't know\n",
	    100 * number_of(answer, "healthy"), 100 * number_of(answer, "none_of_these"));
}

static void print_may(const json_t *may)
{
	printf("\nCrank: %s", text_of(may, "crank"));
	if (!isnan(number_of(may, "crank_seconds"))) printf(", %.3g s", number_of(may, "crank_seconds"));
	printf(". Run: %s", text_of(may, "run"));
	if (!isnan(number_of(may, "max_rpm"))) printf(", at most %.0f rpm", number_of(may, "max_rpm"));
	if (!isnan(number_of(may, "minutes"))) printf(", minutes %.2g", number_of(may, "minutes"));
	printf(". Unknown share %.2g.\n", number_of(may, "unknown"));
	if (text_of(may, "price_of_running")[0])
		printf("Price of running anyway: %s\n", text_of(may, "price_of_running"));
	size_t i;
	json_t *one;
	json_array_foreach(json_object_get(may, "because"), i, one)
	{
		printf("  limit: %s", text_of(one, "reading"));
		if (!isnan(number_of(one, "limit"))) printf(" %.4g", number_of(one, "limit"));
		printf(" (%s)\n", text_of(one, "source"));
	}
}

void dk_show_trace(const json_t *answer)
{
	print_red(json_object_get(answer, "red_rule"));
	const json_t *next = json_object_get(answer, "next");
	const json_t *ask = json_array_get(json_object_get(answer, "ask"), 0);
	if (json_array_size(next))
		print_next(json_array_get(next, 0));
	else
		printf("No check aboard would tell these apart. A yard can.\n");
	if (ask) printf("Or answer first: %s\n", text_of(ask, "question"));
	printf("\n");
	print_causes(answer);
	print_may(json_object_get(answer, "may"));
	size_t i;
	json_t *conflict;
	json_array_foreach(json_object_get(answer, "conflicts"), i, conflict)
	{
		const json_t *between = json_object_get(conflict, "observations");
		printf("Pulls apart: %s", json_string_value(json_array_get(between, 0)));
		if (json_array_size(between) > 1) printf(" and %s", json_string_value(json_array_get(between, 1)));
		printf(". Look at one again.\n");
	}
}

void dk_show_engine(const json_t *answer)
{
	printf("%s: %s%s, %.3g kW\n", text_of(answer, "id"), text_of(answer, "name"),
	    json_is_true(json_object_get(answer, "invented")) ? " (invented)" : "",
	    number_of(answer, "rated_power_kw"));
	const char *key;
	json_t *value;
	json_object_foreach(json_object_get(answer, "installation"), key, value)
	    printf("  %-20s %s\n", key, json_string_value(value));
	printf("\n%-32s %12s %-12s %s\n", "figure", "value", "unit", "source");
	size_t i;
	json_array_foreach(json_object_get(answer, "figures"), i, value) printf("%-32s %12.6g %-12s %s\n",
	    text_of(value, "id"), number_of(value, "value"), text_of(value, "unit"), text_of(value, "source"));
	printf("\nSolved from the plate:\n");
	json_object_foreach(json_object_get(answer, "solved"), key, value) if (json_is_number(value))
	    printf("  %-20s %.5g\n", key, json_number_value(value));
	if (json_array_size(json_object_get(answer, "missing"))) printf("\nMissing, and what that costs:\n");
	json_array_foreach(json_object_get(answer, "missing"), i, value) printf("  %-24s taken as %.5g %s: %s\n",
	    text_of(value, "field"), number_of(value, "taken"), text_of(value, "unit"), text_of(value, "costs"));
}

void dk_show_calc(const json_t *answer)
{
	const char *key;
	json_t *value;
	json_object_foreach(json_object_get(answer, "results"), key, value)
	    printf("%-18s %.6g %s\n", key, number_of(value, "value"), text_of(value, "unit"));
}

void dk_show_calc_list(const json_t *answer)
{
	size_t i, k;
	json_t *row, *one;
	json_array_foreach(answer, i, row)
	{
		printf("%s  %s\n   ", text_of(row, "name"), text_of(row, "about"));
		json_array_foreach(json_object_get(row, "arguments"), k, one)
		{
			const json_t *fallback = json_object_get(one, "default");
			printf(" %s", text_of(one, "name"));
			size_t w;
			json_t *word;
			json_array_foreach(json_object_get(one, "words"), w, word)
			    printf("%s%s", w ? "|" : "=", json_string_value(word));
			if (json_is_string(json_object_get(one, "unit"))) printf(" [%s]", text_of(one, "unit"));
			if (json_is_number(fallback)) printf("(%g)", json_number_value(fallback));
			if (json_is_string(fallback)) printf("(%s)", json_string_value(fallback));
		}
		printf("\n    ->");
		json_array_foreach(json_object_get(row, "results"), k, one)
		    printf(" %s [%s]", text_of(one, "name"), text_of(one, "unit"));
		printf("\n");
	}
}

void dk_show_list(const json_t *answer)
{
	static const char *const kAbout[] = { "name", "question", "meaning", "asks", "order", "about", "unit" };
	size_t i;
	json_t *row;
	json_array_foreach(answer, i, row)
	{
		const char *about = "";
		for (size_t k = 0; k < sizeof kAbout / sizeof *kAbout && !about[0]; ++k)
			about = text_of(row, kAbout[k]);
		printf("%-34s %s%s\n", text_of(row, "id"), about,
		    json_is_false(json_object_get(row, "aboard")) ? "  (not aboard)" : "");
	}
}

void dk_show_score(const json_t *answer)
{
	size_t i;
	json_t *row;
	json_array_foreach(json_object_get(answer, "cases"), i, row)
	    printf("%-30s %-10s rank %-3.0f first: %-24s check: %s\n", text_of(row, "id"), text_of(row, "family"),
	        number_of(row, "rank"), text_of(row, "first"), text_of(row, "first_check"));
	const char *key;
	json_t *value;
	json_object_foreach(json_object_get(answer, "totals"), key, value)
	{
		printf("\n%s: %.0f cases\n", key, number_of(value, "cases"));
		printf("  top-1 %.0f (%.2f to %.2f)  top-3 %.0f  top-5 %.0f  set coverage %.2f\n",
		    number_of(value, "top1"), number_of(value, "top1_low"), number_of(value, "top1_high"),
		    number_of(value, "top3"), number_of(value, "top5"), number_of(value, "set_coverage"));
		printf("  unsafe steps offered %.0f, starter seconds %.3g, parts replaced in vain %.0f\n",
		    number_of(value, "unsafe"), number_of(value, "starter_seconds"),
		    number_of(value, "parts_in_vain"));
	}
}
