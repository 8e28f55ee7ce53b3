// One trace through the use cases: the form of the answer, the sums, the same bytes by every way in, and back
// again.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "app/session.h"
#include "base/file.h"
#include "base/json.h"
#include "engine/batch.h"
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static dk_boat *boat;
static dk_banks *banks;
static dk_session session;

enum
{
	kSeverities = 4 // a small bank: form and bytes are tested here, not ranks
};

static dk_banks_order small_order(void)
{
	dk_banks_order order = dk_default_banks_order();
	order.severities = kSeverities;
	order.cache_folder = getenv("DK_UNIT_CACHE"); // ready banks where the sanitizers run
	return order;
}

static int open_all(void **state)
{
	(void)state;
	dk_error error;
	char text[DK_ERROR_TEXT];
	const dk_said said = { .air = true, .air_k = 288.15, .sea = true, .sea_k = 298.15 };
	const dk_banks_order order = small_order();
	if (dk_boat_open("data", "three_indirect", NULL, 0, &boat, &error) == DK_OK &&
	    dk_banks_open(boat, &said, &order, &banks, &error) == DK_OK)
	{
		session = (dk_session){ .boat = boat, .banks = banks };
		return 0;
	}
	print_error("%s\n", dk_error_text(&error, text, sizeof text));
	return -1;
}

static int close_all(void **state)
{
	(void)state;
	dk_banks_close(banks);
	dk_boat_close(boat);
	return 0;
}

static dk_switches said(void)
{
	return (dk_switches){ .data_folder = "data", .air = "15 C", .sea = "25 C", .severities = "4" };
}

// the answer of the switches; the caller lets it go
static json_t *answer_of(const dk_switches *switches)
{
	dk_error error;
	json_t *out;
	char text[DK_ERROR_TEXT];
	if (dk_session_switches(&session, switches, &out, &error) != DK_OK)
		fail_msg("%s", dk_error_text(&error, text, sizeof text));
	return out;
}

static char *bytes_of(const dk_switches *switches)
{
	json_t *answer = answer_of(switches);
	char *bytes = dk_json_dump(answer);
	json_decref(answer);
	assert_non_null(bytes);
	return bytes;
}

static dk_switches some_signs(void)
{
	dk_switches switches = said();
	switches.sign.text[0] = "smoke.colour@full=black";
	switches.sign.text[1] = "rpm.full=low";
	switches.sign.count = 2;
	switches.reading.text[0] = "coolant_gauge@cruise=82 C";
	switches.reading.count = 1;
	switches.tried.text[0] = "filter.replace=no_better";
	switches.tried.count = 1;
	return switches;
}

static void expect_keys(const json_t *object, const char *what, const char *const *keys)
{
	if (!json_is_object(object)) fail_msg("%s is no object", what);
	for (int i = 0; keys[i]; ++i)
		if (!json_object_get(object, keys[i])) fail_msg("%s lacks '%s'", what, keys[i]);
}

#define KEYS(...) ((const char *const[]){ __VA_ARGS__, NULL })

// contract, 'Trace answer'
static void test_keys(void **state)
{
	(void)state;
	const dk_switches switches = some_signs();
	json_t *answer = answer_of(&switches);
	expect_keys(answer, "the answer",
	    KEYS("causes", "marginal", "healthy", "none_of_these", "ask", "next", "red_rule", "may", "conflicts",
	        "inputs", "engine_hash", "catalogue_hash", "bank_hash", "model_version", "seed"));
	const json_t *cause = json_array_get(json_object_get(answer, "causes"), 0);
	expect_keys(cause, "a cause",
	    KEYS("id", "faults", "group", "repair", "name", "system", "probability", "low", "high", "severity",
	        "why"));
	expect_keys(json_object_get(cause, "severity"), "severity", KEYS("low", "mid", "high", "text"));
	expect_keys(json_array_get(json_object_get(cause, "why"), 0), "why", KEYS("observation", "log_ratio"));
	const json_t *ask = json_array_get(json_object_get(answer, "ask"), 0);
	expect_keys(ask, "a question", KEYS("sign", "point", "question", "answers", "bits"));
	expect_keys(json_array_get(json_object_get(ask, "answers"), 0), "a chance", KEYS("id", "text", "chance"));
	expect_keys(json_array_get(json_object_get(answer, "next"), 0), "a check",
	    KEYS("check", "name", "steps", "place", "undo", "bits", "bits_per_minute", "expected_cost", "minutes",
	        "tools", "cautions", "gates", "answers", "shares_cover_with"));
	expect_keys(json_object_get(answer, "may"), "may",
	    KEYS("crank", "crank_seconds", "run", "minutes", "max_rpm", "price_of_running", "because"));
	assert_int_equal(json_object_size(json_object_get(answer, "marginal")), boat->catalog->fault_count);
	json_decref(answer);

	dk_switches red = said();
	red.sign.text[0] = "space.smoke=fire";
	red.sign.count = 1;
	answer = answer_of(&red);
	expect_keys(json_object_get(answer, "red_rule"), "the red rule", KEYS("id", "order", "then", "waiting"));
	json_decref(answer);
}

// causes + healthy + none_of_these = 1, as printed
static void test_sum(void **state)
{
	(void)state;
	dk_switches none = said();
	const dk_switches some = some_signs();
	const dk_switches *all[] = { &none, &some };
	for (int k = 0; k < 2; ++k)
	{
		json_t *answer = answer_of(all[k]), *cause;
		double sum = json_number_value(json_object_get(answer, "healthy")) +
		             json_number_value(json_object_get(answer, "none_of_these"));
		size_t i;
		json_array_foreach(json_object_get(answer, "causes"), i, cause)
		{
			const double p = json_number_value(json_object_get(cause, "probability"));
			assert_true(p >= 0 && p <= 1);
			sum += p;
		}
		// each of up to a few hundred terms is printed to six digits
		assert_true(fabs(sum - 1) < 1e-5);
		json_decref(answer);
	}
}

// texts, JSON, and the whole command that opens its own boat and banks: the same bytes
static void test_same_bytes(void **state)
{
	(void)state;
	const dk_switches switches = some_signs();
	char *by_switches = bytes_of(&switches);

	const char body[] =
	    "{\"air\": \"15 C\", \"sea\": \"25 C\", \"observed\": {\"smoke.colour@full\": \"black\", "
	    "\"rpm.full\": \"low\"}, \"readings\": {\"coolant_gauge@cruise\": \"82 C\"}, "
	    "\"tried\": {\"filter.replace\": \"no_better\"}}";
	dk_error error;
	json_t *answer;
	char text[DK_ERROR_TEXT];
	if (dk_session_json(&session, body, sizeof body - 1, 1, &answer, &error) != DK_OK)
		fail_msg("%s", dk_error_text(&error, text, sizeof text));
	char *by_json = dk_json_dump(answer);
	json_decref(answer);
	assert_string_equal(by_switches, by_json);

	dk_banks_order order = small_order();
	if (dk_app_trace(&switches, &order, &answer, &error) != DK_OK)
		fail_msg("%s", dk_error_text(&error, text, sizeof text));
	char *by_command = dk_json_dump(answer);
	json_decref(answer);
	assert_string_equal(by_switches, by_command);
	free(by_command);
	free(by_json);
	free(by_switches);
}

// one observation more, then less: the former bytes, though the session has simulated pairs in between
static void test_taken_back(void **state)
{
	(void)state;
	dk_switches switches = some_signs();
	char *before = bytes_of(&switches);
	switches.sign.text[switches.sign.count++] = "water.outlet=little";
	switches.reading.text[switches.reading.count++] = "back_pressure@full=25 kPa";
	char *more = bytes_of(&switches);
	assert_true(strcmp(before, more) != 0);
	switches.sign.count--;
	switches.reading.count--;
	char *after = bytes_of(&switches);
	assert_string_equal(before, after);
	free(after);
	free(more);
	free(before);
}

// a check that turns the starter spends of the account, one that was not done does not
static void test_crank_account(void **state)
{
	(void)state;
	const char *done[] = { NULL, "compression=good", "compression=cannot" };
	double left[3];
	for (int k = 0; k < 3; ++k)
	{
		dk_switches switches = said();
		switches.done.text[0] = done[k];
		switches.done.count = done[k] != NULL;
		json_t *answer = answer_of(&switches);
		left[k] = json_number_value(json_object_get(json_object_get(answer, "may"), "crank_seconds"));
		json_decref(answer);
	}
	const int check = dk_check_find(boat->catalog, "compression");
	print_message("cranking left: %.1f s, after %.0f s of a check %.1f s\n", left[0],
	    boat->catalog->check[check].crank_seconds, left[1]);
	assert_true(boat->catalog->check[check].crank_seconds > 0);
	assert_true(left[0] > 0 && left[1] <= left[0] - 0.9 * boat->catalog->check[check].crank_seconds);
	assert_true(left[2] == left[0]);
}

// pairs that were simulated are those that were asked for: strata of the bank, not numbers of faults
static void test_pair(void **state)
{
	(void)state;
	dk_bank *bank = banks->bank[0];
	int a = -1, b = -1;
	for (int i = 0; i < bank->stratum_count; ++i)
	{
		if (bank->stratum[i].fault_count != 1 || bank->stratum[i].hit_count) continue;
		if (bank->stratum[i].fault[0] == i) continue;
		if (a < 0)
			a = i;
		else
			b = i;
	}
	assert_true(a >= 0 && b > a);
	const dk_stratum *pair = dk_banks_pair(banks, 0, a, b);
	assert_non_null(pair);
	assert_int_equal(pair->fault_count, 2);
	assert_true(
	    (pair->fault[0] == bank->stratum[a].fault[0] && pair->fault[1] == bank->stratum[b].fault[0]) ||
	    (pair->fault[1] == bank->stratum[a].fault[0] && pair->fault[0] == bank->stratum[b].fault[0]));
	assert_ptr_equal(pair, dk_banks_pair(banks, 0, a, b));
	assert_null(dk_banks_pair(banks, 0, a, a));
}

// a healthy engine in water 10 degC warmer than usual, said so: no fault of the cooling gains more than half
static void test_warm_sea(void **state)
{
	(void)state;
	dk_condition condition = dk_default_condition();
	condition.sea_k = 298.15;
	double reading[DK_READING_COUNT];
	unsigned char status;
	dk_batch one = { .count = 1,
		.param = boat->record.param,
		.condition = condition,
		.point = DK_POINT_cruise,
		.lever = dk_engine_cruise_lever(boat->record.param, &condition),
		.reading = reading,
		.status = &status };
	dk_batch_run(&one, 1);
	assert_int_equal(status, DK_REACHED);

	char gauge[80], hose[80], water[80];
	snprintf(gauge, sizeof gauge, "coolant_gauge@cruise=%.2f C", reading[DK_READING_coolant_gauge]);
	snprintf(hose, sizeof hose, "hose_temperature@cruise=%.2f C", reading[DK_READING_hose_temperature]);
	snprintf(water, sizeof water, "raw_water_flow@cruise=%.2f l/min", reading[DK_READING_raw_water_flow]);
	dk_switches nothing = said(), seen = said();
	seen.reading.text[0] = gauge, seen.reading.text[1] = hose, seen.reading.text[2] = water;
	seen.reading.count = 3;
	json_t *prior = answer_of(&nothing), *posterior = answer_of(&seen);
	int faults = 0;
	for (int f = 0; f < boat->catalog->fault_count; ++f)
	{
		if (boat->catalog->fault[f].system != DK_SYSTEM_cooling || !boat->fault_possible[f]) continue;
		const char *id = boat->catalog->fault[f].id;
		const double before = json_number_value(json_object_get(json_object_get(prior, "marginal"), id));
		const double after = json_number_value(json_object_get(json_object_get(posterior, "marginal"), id));
		if (!(after <= 1.5 * before)) fail_msg("%s: %.4f before, %.4f after", id, before, after);
		++faults;
	}
	assert_true(faults >= 4);
	json_decref(posterior);
	json_decref(prior);
}

// the example of docs/data.md can be read as it stands, and names the engine
static void test_example(void **state)
{
	(void)state;
	dk_error error;
	char *bytes, text[DK_ERROR_TEXT];
	size_t length;
	dk_request request;
	dk_arena *arena = dk_arena_new();
	assert_int_equal(dk_file_read("docs/data.md", 1 << 20, arena, &bytes, &length, &error), DK_OK);
	char *from = strstr(bytes, "## Cases and requests");
	assert_non_null(from);
	from = strstr(from, "```yaml\n");
	assert_non_null(from);
	char *end = strstr(from + 8, "```");
	assert_non_null(end);
	const char path[] = "/tmp/dk_test_example.yaml";
	assert_int_equal(dk_file_write(path, from + 8, (size_t)(end - from - 8), &error), DK_OK);
	const dk_status status = dk_case_read(path, boat->catalog, arena, &request, &error);
	dk_switches switches = { .data_folder = "data", .case_file = path };
	dk_boat *named = NULL;
	dk_request again;
	assert_int_equal(dk_app_trace_boat(&switches, &named, &error), DK_OK);
	assert_string_equal(named->record.id, "three_indirect");
	assert_int_equal(dk_app_request(&switches, named, arena, &again, &error), DK_OK);
	dk_boat_close(named);
	switches.engine = "four_direct";
	assert_int_equal(dk_app_trace_boat(&switches, &named, &error), DK_OK);
	assert_int_equal(dk_app_request(&switches, named, arena, &again, &error), DK_CONTRADICTION);
	assert_string_equal(error.field, "engine");
	dk_boat_close(named);
	remove(path);
	if (status != DK_OK) fail_msg("%s", dk_error_text(&error, text, sizeof text));
	dk_arena_free(arena);
}

// another engine than the one served, and tools that nothing needs
static void test_refused(void **state)
{
	(void)state;
	dk_error error;
	json_t *out;
	const char other[] = "{\"engine\": \"four_direct\"}", same[] = "{\"engine\": \"three_indirect\"}";
	const char slip[] = "{\"tools\": [\"multimetr\"]}", tool[] = "{\"tools\": [\"multimeter\"]}";
	assert_int_equal(dk_session_json(&session, other, sizeof other - 1, 1, &out, &error), DK_CONTRADICTION);
	assert_int_equal(dk_session_json(&session, same, sizeof same - 1, 1, &out, &error), DK_OK);
	json_decref(out);
	assert_int_equal(dk_session_json(&session, slip, sizeof slip - 1, 1, &out, &error), DK_UNKNOWN_NAME);
	assert_non_null(strstr(error.advice, "multimeter"));
	assert_int_equal(dk_session_json(&session, tool, sizeof tool - 1, 1, &out, &error), DK_OK);
	json_decref(out);
	dk_switches switches = said();
	switches.tool.text[0] = "hammer", switches.tool.count = 1;
	assert_int_equal(dk_session_switches(&session, &switches, &out, &error), DK_UNKNOWN_NAME);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(test_keys),
		cmocka_unit_test(test_sum),
		cmocka_unit_test(test_same_bytes),
		cmocka_unit_test(test_taken_back),
		cmocka_unit_test(test_crank_account),
		cmocka_unit_test(test_pair),
		cmocka_unit_test(test_warm_sea),
		cmocka_unit_test(test_example),
		cmocka_unit_test(test_refused),
	};
	return cmocka_run_group_tests(tests, open_all, close_all);
}
