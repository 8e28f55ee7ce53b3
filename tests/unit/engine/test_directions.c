// The published directions (tests/published/directions): each fault at its point, beside the healthy engine.
// A miss is listed with its reason in tests/published/misses.yaml, or fails; a listed one that holds fails
// too.
#include "base/file.h"
#include "base/units.h"
#include "base/yaml.h"
#include "fleet.h"

static const char *const kFolder = "tests/published/directions";

// [ASSUMED-842] without a figure of its own a direction holds when the reading moves a tenth of its gauge's
// error
static const double kLeast = 0.1;

typedef struct pair_of_runs
{
	double healthy[DK_READING_COUNT], broken[DK_READING_COUNT];
	unsigned char status;
} pair_of_runs;

static void must(dk_status status, const dk_error *error)
{
	char text[DK_ERROR_TEXT];
	if (status != DK_OK) fail_msg("%s", dk_error_text(error, text, sizeof text));
}

static double celsius_or(const dk_node *at, const char *field, double otherwise)
{
	dk_error error;
	double value;
	must(dk_node_number_or(at, field, "degC", -40, 55, otherwise, &value, &error), &error);
	return value;
}

static void run_file(const dk_node *root, pair_of_runs *out)
{
	dk_error error;
	const dk_node *fault = dk_node_get(root, "fault"), *at = dk_node_get(root, "at");
	const char *point_id;
	must(dk_node_text(at, "point", &point_id, &error), &error);
	const int point = dk_point_find(point_id);
	assert_true(point >= 0);
	const dk_condition condition = air_sea(celsius_or(at, "air", 15), celsius_or(at, "sea", 15));
	const double lever = dk_engine_cruise_lever(ours.indirect.param, &condition);

	double param[DK_PARAM_COUNT];
	dk_broken broken[4];
	memcpy(param, ours.indirect.param, sizeof param);
	assert_in_range(fault->count, 1, 4);
	for (int i = 0; i < fault->count; ++i)
	{
		broken[i] = (dk_broken){ .fault = dk_breaking_find(ours.breaking, fault->key[i]->text) };
		assert_true(broken[i].fault >= 0);
		must(dk_node_number(fault, fault->key[i]->text, "-", 0, 1, &broken[i].severity, &error), &error);
	}
	must(dk_breaking_apply(ours.breaking, broken, fault->count, param, &error), &error);
	assert_int_equal(run_one(ours.indirect.param, &condition, point, lever, out->healthy), DK_REACHED);
	out->status = run_one(param, &condition, point, lever, out->broken);
}

// "0.3 of healthy", "20 %", "3 K": a difference in the reading's unit
static double amount(const char *text, int reading, double healthy)
{
	char *rest;
	const double value = strtod(text, &rest);
	assert_true(rest != text);
	rest += strspn(rest, " ");
	if (!strcmp(rest, "of healthy")) return value * fabs(healthy);
	const char *unit = dk_reading_info[reading].unit;
	if (strcmp(rest, unit) && !(!strcmp(unit, "degC") && !strcmp(rest, "K")) && *rest)
		fail_msg("'%s' is not in %s", text, unit);
	return value;
}

// whether one expectation holds; what was got goes into `got`
static bool holds(const dk_node *row, const pair_of_runs *runs, const char **id, char *got, size_t size)
{
	static const char *const kGoes[] = { "up", "down", "same" };
	dk_error error;
	const char *least, *within;
	int goes;
	must(dk_node_text(row, "reading", id, &error), &error);
	must(dk_node_word(row, "goes", kGoes, 3, &goes, &error), &error);
	must(dk_node_text_or(row, "at_least", NULL, &least, &error), &error);
	must(dk_node_text_or(row, "within", NULL, &within, &error), &error);
	const int reading = dk_reading_find(*id);
	assert_true(reading >= 0);
	const double healthy = runs->healthy[reading], broken = runs->broken[reading];
	const double moved = broken - healthy;
	snprintf(got, size, "%.5g healthy, %.5g broken", healthy, broken);
	if (goes == 2)
	{
		assert_non_null(within);
		return fabs(moved) <= amount(within, reading, healthy);
	}
	const double need = least ? amount(least, reading, healthy) : kLeast * dk_reading_info[reading].gauge_sd;
	return goes == 0 ? moved >= need && moved > 0 : moved <= -need && moved < 0;
}

static void test_directions(void **state)
{
	(void)state;
	dk_error error;
	char **path;
	int count, bad = 0, rows = 0;
	const dk_node *misses;
	must(dk_file_list(kFolder, ".yaml", ours.arena, &path, &count, &error), &error);
	must(dk_yaml_read("tests/published/misses.yaml", ours.arena, &misses, &error), &error);
	assert_true(count > 20);
	for (int f = 0; f < count; ++f)
	{
		const dk_node *root, *expect;
		pair_of_runs runs;
		must(dk_yaml_read(path[f], ours.arena, &root, &error), &error);
		must(dk_node_list(root, "expect", 1, &expect, &error), &error);
		run_file(root, &runs);
		const char *name = strrchr(path[f], '/') + 1;
		for (int i = 0; i < expect->count; ++i, ++rows)
		{
			char got[120];
			const char *id;
			const bool good =
			    runs.status != DK_NOT_REACHED && holds(expect->item[i], &runs, &id, got, sizeof got);
			if (runs.status == DK_NOT_REACHED) (void)holds(expect->item[i], &runs, &id, got, sizeof got);
			const dk_node *listed = dk_node_get(dk_node_get(misses, name), id);
			if (good == !listed) continue;
			++bad;
			print_error("%s: %s: %s (status %d)%s\n", name, id, got, runs.status,
			    good ? ", listed as a miss and holds: take it off the list" : "");
		}
	}
	assert_true(rows > 60);
	assert_int_equal(bad, 0);
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_directions) };
	return cmocka_run_group_tests(tests, fleet_open, fleet_close);
}
