// Answers as text. No sums here: numbers come from the answer as they are.
#include "cli/show.h"
#include "cli/pick.h"
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

// a number in a column, a dash for what does not happen
static void print_number(double value, int width)
{
	if (isnan(value))
		printf("%*s", width, "-");
	else
		printf("%*.4g", width, value);
}

static void print_condition(const json_t *answer)
{
	const json_t *condition = json_object_get(answer, "condition");
	printf("air %.3g degC, sea %.3g degC, %.4g bar\n", dk_pick_number(condition, "air_degc"),
	    dk_pick_number(condition, "sea_degc"), dk_pick_number(condition, "pressure_bar"));
	size_t i;
	json_t *fault;
	json_array_foreach(json_object_get(answer, "faults"), i, fault)
	    printf("broken: %s (%s), severity %.3g: %s\n", dk_pick_text(fault, "name"), dk_pick_text(fault, "id"),
	        dk_pick_number(fault, "severity"), dk_pick_text(fault, "measure"));
}

void dk_show_run(const json_t *answer)
{
	printf("%s%s at %s: %s. Lever %.3g. %s.\n", dk_pick_text(answer, "engine"),
	    json_is_true(json_object_get(answer, "invented")) ? " (invented)" : "", dk_pick_text(answer, "point"),
	    dk_pick_text(answer, "about"), dk_pick_number(answer, "lever"), dk_pick_text(answer, "status"));
	print_condition(answer);
	printf("\n%-22s %10s %10s  %s\n", "reading", "this", "healthy", "unit");
	const char *id;
	json_t *reading;
	json_object_foreach(json_object_get(answer, "readings"), id, reading)
	{
		printf("%-22s ", id);
		print_number(dk_pick_number(reading, "value"), 10);
		printf(" ");
		print_number(dk_pick_number(reading, "healthy"), 10);
		printf("  %s\n", dk_pick_text(reading, "unit"));
	}
	printf("\nA dash: it does not happen. The spread of each reading is in 'donkeyman list readings'.\n");
}

// tries that were asked for and those that were needed, and what should not be done so
static void print_asked(const json_t *answer)
{
	const json_t *tries = json_object_get(answer, "tries"), *remark;
	const size_t asked = (size_t)dk_pick_number(answer, "tries_asked"), made = json_array_size(tries);
	const bool fires = json_is_true(json_object_get(json_array_get(tries, made - 1), "fires"));
	printf("\n%zu %s asked for. ", asked, asked == 1 ? "try" : "tries");
	if (fires && made < asked)
		printf("It fires in try %zu; the rest is not needed.\n", made);
	else if (fires)
		printf("It fires in try %zu.\n", made);
	else
		printf("It does not fire.\n");
	size_t i;
	json_array_foreach(json_object_get(answer, "remarks"), i, remark)
	    printf("%s\n", json_string_value(remark));
}

void dk_show_crank(const json_t *answer)
{
	printf("%s%s on the starter.\n", dk_pick_text(answer, "engine"),
	    json_is_true(json_object_get(answer, "invented")) ? " (invented)" : "");
	print_condition(answer);
	printf("\n%4s %8s %6s %8s %10s %9s %8s %12s %14s\n", "try", "seconds", "rest", "speed", "battery",
	    "current", "charge", "fires after", "left to go by");
	size_t i;
	json_t *one;
	json_array_foreach(json_object_get(answer, "tries"), i, one)
	{
		printf("%4zu %7.3gs %5.3gs %5.4g rpm %7.3g V %7.4g A %7.3g ", i + 1, dk_pick_number(one, "seconds"),
		    dk_pick_number(one, "rest"), dk_pick_number(one, "crank_speed_rpm"),
		    dk_pick_number(one, "battery_volts"), dk_pick_number(one, "crank_current_amps"),
		    dk_pick_number(one, "charge_before"));
		if (json_is_true(json_object_get(one, "fires")))
			printf("%9.3g s ", dk_pick_number(one, "seconds_to_fire"));
		else
			printf("%11s ", json_is_true(json_object_get(one, "turns")) ? "does not" : "won't turn");
		printf("%12.3g s\n", dk_pick_number(json_object_get(one, "flood_before"), "advice"));
	}
	print_asked(answer);
	const json_t *left = json_object_get(answer, "flood_left");
	printf("\nCranking left before the wet exhaust could flood the engine: %.3g s to go by (the manual "
	       "allows %.3g s in "
	       "all);\n%.3g s at the mean, %.3g s with 5 in 100 worse.\n%s\n",
	    dk_pick_number(left, "advice"), dk_pick_number(answer, "manual_seconds"),
	    dk_pick_number(left, "seconds"), dk_pick_number(left, "low_5_percent"),
	    dk_pick_text(answer, "caution"));
}

void dk_show_engine(const json_t *answer)
{
	printf("%s: %s%s, %.3g kW\n", dk_pick_text(answer, "id"), dk_pick_text(answer, "name"),
	    json_is_true(json_object_get(answer, "invented")) ? " (invented)" : "",
	    dk_pick_number(answer, "rated_power_kw"));
	const char *key;
	json_t *value;
	json_object_foreach(json_object_get(answer, "installation"), key, value)
	    printf("  %-20s %s\n", key, json_string_value(value));
	printf("\n%-32s %12s %-12s %s\n", "figure", "value", "unit", "source");
	size_t i;
	json_array_foreach(json_object_get(answer, "figures"), i, value)
	    printf("%-32s %12.6g %-12s %s\n", dk_pick_text(value, "id"), dk_pick_number(value, "value"),
	        dk_pick_text(value, "unit"), dk_pick_text(value, "source"));
	printf("\nSolved from the plate:\n");
	json_object_foreach(json_object_get(answer, "solved"), key, value) if (json_is_number(value))
	    printf("  %-20s %.5g\n", key, json_number_value(value));
	if (json_array_size(json_object_get(answer, "missing"))) printf("\nMissing, and what that costs:\n");
	json_array_foreach(json_object_get(answer, "missing"), i, value)
	{
		const double taken = dk_pick_number(value, "taken");
		printf("  %-24s ", dk_pick_text(value, "field"));
		if (isnan(taken))
			printf("nothing stands in: ");
		else
			printf("taken as %.5g %s: ", taken, dk_pick_text(value, "unit"));
		printf("%s\n", dk_pick_text(value, "costs"));
	}
	json_array_foreach(json_object_get(answer, "warnings"), i, value)
	    printf("\nWARNING: %s.\n", json_string_value(value));
}

void dk_show_calc(const json_t *answer)
{
	const char *key;
	json_t *value;
	json_object_foreach(json_object_get(answer, "results"), key, value)
	    printf("%-18s %.6g %s\n", key, dk_pick_number(value, "value"), dk_pick_text(value, "unit"));
}

void dk_show_calc_list(const json_t *answer)
{
	size_t i, k;
	json_t *row, *one;
	json_array_foreach(answer, i, row)
	{
		printf("%s  %s\n   ", dk_pick_text(row, "name"), dk_pick_text(row, "about"));
		json_array_foreach(json_object_get(row, "arguments"), k, one)
		{
			const json_t *fallback = json_object_get(one, "default");
			printf(" %s", dk_pick_text(one, "name"));
			size_t w;
			json_t *word;
			json_array_foreach(json_object_get(one, "words"), w, word)
			    printf("%s%s", w ? "|" : "=", json_string_value(word));
			if (json_is_string(json_object_get(one, "unit"))) printf(" [%s]", dk_pick_text(one, "unit"));
			if (json_is_number(fallback)) printf("(%g)", json_number_value(fallback));
			if (json_is_string(fallback)) printf("(%s)", json_string_value(fallback));
		}
		printf("\n    ->");
		json_array_foreach(json_object_get(row, "results"), k, one)
		    printf(" %s [%s]", dk_pick_text(one, "name"), dk_pick_text(one, "unit"));
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
			about = dk_pick_text(row, kAbout[k]);
		printf("%-34s %s%s\n", dk_pick_text(row, "id"), about,
		    json_is_false(json_object_get(row, "aboard")) ? "  (not aboard)" : "");
	}
}

void dk_show_score(const json_t *answer)
{
	size_t i;
	json_t *row;
	json_array_foreach(json_object_get(answer, "cases"), i, row)
	    printf("%-30s %-10s rank %-3.0f first: %-24s check: %s\n", dk_pick_text(row, "id"),
	        dk_pick_text(row, "family"), dk_pick_number(row, "rank"), dk_pick_text(row, "first"),
	        dk_pick_text(row, "first_check"));
	const char *key;
	json_t *value;
	json_object_foreach(json_object_get(answer, "totals"), key, value)
	{
		printf("\n%s: %.0f cases\n", key, dk_pick_number(value, "cases"));
		printf("  top-1 %.0f (%.2f to %.2f)  top-3 %.0f  top-5 %.0f  set coverage %.2f\n",
		    dk_pick_number(value, "top1"), dk_pick_number(value, "top1_low"),
		    dk_pick_number(value, "top1_high"), dk_pick_number(value, "top3"), dk_pick_number(value, "top5"),
		    dk_pick_number(value, "set_coverage"));
		printf("  unsafe steps offered %.0f, starter seconds %.3g, parts replaced in vain %.0f\n",
		    dk_pick_number(value, "unsafe"), dk_pick_number(value, "starter_seconds"),
		    dk_pick_number(value, "parts_in_vain"));
	}
}
