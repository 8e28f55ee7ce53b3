// Asks, weighs, shows where it stands, asks again. Every answer is kept as the text of a switch, so taking
// one back is dropping it.
#include "cli/ask.h"
#include "app/session.h"
#include "cli/pick.h"
#include "cli/progress.h"
#include "cli/show.h"
#include "cli/words.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum
{
	kSaidMost = DK_SWITCH_MOST,
	kLine = 256,
	kSaid = 512,
	kInRow = 3 // questions before a check comes first
};

static const double kLeastBits = 0.02; // a question that tells less is not worth an answer

// what was said, in order, so that the last can be taken back
typedef struct said
{
	char text[kSaidMost][kSaid];
	dk_switch_list *list[kSaidMost];
	int count;
} said;

typedef struct talk
{
	const dk_session *session;
	dk_switches *switches;
	said said;
	json_t *answer; // the newest; NULL before the first
	int in_row;     // questions since the last check
	bool looked;    // a check was done or refused
} talk;

// what was typed: one of the numbers, a letter, or a text
typedef enum typed_kind
{
	kTypedNumber,
	kTypedLetter,
	kTypedText
} typed_kind;

typedef struct typed
{
	typed_kind kind;
	int number; // from 0
	char letter;
	char text[kLine];
} typed;

// ---- what is said

static void complain(const dk_error *error)
{
	char sentence[DK_ERROR_TEXT];
	printf("%s\n", dk_error_text(error, sentence, sizeof sentence));
}

// keeps one text, unless what was said does not go together with it; then one sentence says why
static bool add(talk *t, dk_switch_list *list, const char *text)
{
	dk_error error;
	dk_request request;
	said *all = &t->said;
	if (all->count == kSaidMost || list->count == DK_SWITCH_MOST)
	{
		printf("That is more than can be kept; take something back (b), or quit (q).\n");
		return false;
	}
	snprintf(all->text[all->count], kSaid, "%s", text);
	list->text[list->count++] = all->text[all->count];
	dk_arena *arena = dk_arena_new();
	const dk_status status = dk_app_request(t->switches, t->session->boat, arena, &request, &error);
	dk_arena_free(arena);
	if (status == DK_OK)
	{
		all->list[all->count++] = list;
		return true;
	}
	list->count--;
	complain(&error);
	return false;
}

static void take_back(said *all)
{
	if (!all->count)
	{
		printf("There is nothing to take back.\n");
		return;
	}
	all->list[--all->count]->count--;
	printf("Taken back: %s\n", all->text[all->count]);
}

// ---- what is typed

// a line without its end; false where the input ends
static bool read_line(const char *prompt, char *line)
{
	printf("%s", prompt);
	fflush(stdout);
	if (!fgets(line, kLine, stdin)) return false;
	line[strcspn(line, "\r\n")] = 0;
	return true;
}

// A number `low` to `high`, one of the letters, or (free) any text. A wrong entry is one sentence, and asked
// again; w shows the whole answer. The end of the input is a q.
static typed read_typed(
    const talk *t, const char *prompt, int low, int high, const char *letters, bool free_text)
{
	typed got = { .kind = kTypedLetter, .letter = 'q' };
	while (read_line(prompt, got.text))
	{
		char *end;
		const long number = strtol(got.text, &end, 10);
		const char *letter = got.text[0] && !got.text[1] ? strchr(letters, got.text[0]) : NULL;
		if (letter && *letter == 'w')
		{
			if (t->answer) dk_show_trace(t->answer);
			continue;
		}
		got.letter = letter ? *letter : 0;
		if (letter) return got;
		got.kind = free_text ? kTypedText : kTypedNumber;
		got.number = (int)number;
		if (free_text && got.text[0]) return got;
		if (!free_text && end != got.text && !*end && number >= low && number <= high) return got;
		got.kind = kTypedLetter;
		printf("Type %s", free_text ? "a figure with its unit" : "one of the numbers");
		for (int i = 0; letters[i]; ++i) printf("%s%c", letters[i + 1] ? ", " : " or ", letters[i]);
		printf(".\n");
	}
	got.letter = 'q';
	return got;
}

static void print_answers(const dk_answer *answer, int count)
{
	for (int i = 0; i < count; ++i) printf("   %d  %s\n", i + 1, answer[i].text);
}

// ---- before the first weighing

static bool where_said(const talk *t, const dk_catalog *catalog)
{
	const char *id = catalog->sign[catalog->where].id;
	const size_t length = strlen(id);
	for (int i = 0; i < t->switches->sign.count; ++i)
		if (!strncmp(t->switches->sign.text[i], id, length) && t->switches->sign.text[i][length] == '=')
			return true;
	return false;
}

// false: quit
static bool ask_where(talk *t)
{
	const dk_catalog *catalog = t->session->boat->catalog;
	if (catalog->where < 0 || where_said(t, catalog) || t->switches->case_file) return true;
	const dk_sign *where = &catalog->sign[catalog->where];
	printf("%s\n", where->question);
	print_answers(where->look.answer, where->look.answer_count);
	const typed got =
	    read_typed(t, "Number (s not sure, q quit): ", 1, where->look.answer_count, "sq", false);
	if (got.kind == kTypedLetter) return got.letter != 'q';
	char text[kSaid];
	snprintf(text, sizeof text, "%s=%s", where->id, where->look.answer[got.number - 1].id);
	add(t, &t->switches->sign, text);
	return true;
}

// a condition of a rule as the text of --sign, at the sign's usual point if it has that
static void say_condition(talk *t, const dk_condition_row *row)
{
	const dk_sign *sign = &t->session->boat->catalog->sign[row->sign];
	char text[kSaid];
	int point = sign->default_point, answer = 0;
	if (!(row->points & (1u << point)) && (row->points & (1u << DK_POINT_cruise))) point = DK_POINT_cruise;
	for (int p = 0; p < DK_POINT_COUNT && !(row->points & (1u << point)); ++p)
		if (row->points & (1u << p)) point = p;
	while (!(row->answers & (1u << answer))) ++answer;
	snprintf(text, sizeof text, "%s%s@%s=%s", row->before ? "before:" : "", sign->id, dk_point_info[point].id,
	    sign->look.answer[answer].id);
	add(t, &t->switches->sign, text);
}

// whether this boat can show what the rule asks first
static bool rule_possible(const dk_boat *boat, const dk_red_rule *rule)
{
	return rule->condition_count && boat->sign_possible[rule->condition[0].sign];
}

// false: quit
static bool ask_red(talk *t)
{
	const dk_boat *boat = t->session->boat;
	const dk_red_rule *shown[64];
	int count = 0;
	for (int i = 0; i < boat->catalog->red_rule_count && count < 64; ++i)
		if (rule_possible(boat, &boat->catalog->red_rule[i])) shown[count++] = &boat->catalog->red_rule[i];
	if (!count) return true;
	printf("\nAny of these, right now?\n   0  none of these\n");
	for (int i = 0; i < count; ++i) printf("   %d  %s\n", i + 1, shown[i]->name);
	const typed got = read_typed(t, "Number (s not sure, q quit): ", 0, count, "sq", false);
	if (got.kind == kTypedLetter) return got.letter != 'q';
	if (!got.number) return true;
	const dk_red_rule *rule = shown[got.number - 1];
	for (int i = 0; i < (rule->all ? rule->condition_count : 1); ++i) say_condition(t, &rule->condition[i]);
	return true;
}

// ---- gates

static void refuse_check(talk *t, const char *check)
{
	add(t, &t->switches->can_not, check);
}

// The gates of a check, one by one. Returns 'y' when all are open, 'n' when one is shut, 'b' or 'q'.
static char pass_gates(talk *t, const json_t *next)
{
	const dk_catalog *catalog = t->session->boat->catalog;
	size_t i;
	json_t *id;
	json_array_foreach(json_object_get(next, "gates"), i, id)
	{
		const int found = dk_gate_find(catalog, json_string_value(id));
		if (found < 0) return 'n';
		const dk_gate *gate = &catalog->gate[found];
		printf("Before this step: %s\n", gate->asks);
		print_answers(gate->answer, gate->answer_count);
		const typed got =
		    read_typed(t, "Number (c can't, b back, w why, q quit): ", 1, gate->answer_count, "cbwq", false);
		if (got.kind == kTypedLetter && got.letter != 'c') return got.letter;
		if (got.kind == kTypedLetter || !(gate->opens & (1u << (got.number - 1))))
		{
			printf("%s\n", gate->blocked);
			return 'n';
		}
		if (!add(t, &t->switches->passed, gate->id)) return 'n';
		for (int k = 0; k < gate->cautions.count; ++k) printf("    CAUTION: %s\n", gate->cautions.item[k]);
	}
	return 'y';
}

// ---- a check, a question

static const char *answer_id(const json_t *answers, const typed *got)
{
	if (got->kind == kTypedNumber)
		return dk_pick_text(json_array_get(answers, (size_t)got->number - 1), "id");
	return got->letter == 's' ? "not_sure" : got->letter == 'o' ? "odd" : "not_looked";
}

static void list_answers(const json_t *answers)
{
	size_t i;
	json_t *one;
	json_array_foreach(answers, i, one) printf("   %zu  %s\n", i + 1, dk_pick_text(one, "text"));
}

// returns the letter that ends or goes back, 0 when it was answered
static char offer_check(talk *t, const json_t *next)
{
	const char *check = dk_pick_text(next, "check");
	const bool figure = dk_pick_text(next, "reading")[0] != 0;
	const json_t *answers = json_object_get(next, "answers");
	char text[kSaid];
	printf("\n");
	dk_show_check(next);
	const char gate = pass_gates(t, next);
	if (gate == 'b' || gate == 'q') return gate;
	t->looked = true;
	t->in_row = 0;
	if (gate == 'n') return refuse_check(t, check), 0;
	dk_show_steps(next);
	if (!figure) list_answers(answers);
	for (;;)
	{
		const typed got =
		    figure ? read_typed(t, "What does it show, with its unit (c can't, b back, w why, q quit)? ", 0,
		                 0, "cbwq", true)
		           : read_typed(t, "Number (s not sure, o odd, c can't, b back, w why, q quit): ", 1,
		                 (int)json_array_size(answers), "socbwq", false);
		if (got.kind == kTypedLetter && strchr("bq", got.letter)) return got.letter;
		if (got.kind == kTypedLetter && got.letter == 'c') return refuse_check(t, check), 0;
		snprintf(text, sizeof text, "%s=%s", check, figure ? got.text : answer_id(answers, &got));
		if (add(t, &t->switches->done, text)) return 0;
	}
}

static char offer_question(talk *t, const json_t *ask)
{
	const json_t *answers = json_object_get(ask, "answers");
	char text[kSaid];
	printf("\n%s (%s)\n", dk_pick_text(ask, "question"), dk_words_point(dk_pick_text(ask, "point")));
	list_answers(answers);
	for (;;)
	{
		const typed got = read_typed(t, "Number (s not sure, o odd, c can't, b back, w why, q quit): ", 1,
		    (int)json_array_size(answers), "socbwq", false);
		if (got.kind == kTypedLetter && strchr("bq", got.letter)) return got.letter;
		snprintf(text, sizeof text, "%s@%s=%s", dk_pick_text(ask, "sign"), dk_pick_text(ask, "point"),
		    answer_id(answers, &got));
		if (!add(t, &t->switches->sign, text)) continue;
		t->in_row++;
		return 0;
	}
}

// ---- what comes next

static bool was_asked(const talk *t, const json_t *ask)
{
	char start[kSaid];
	snprintf(start, sizeof start, "%s@%s=", dk_pick_text(ask, "sign"), dk_pick_text(ask, "point"));
	for (int i = 0; i < t->switches->sign.count; ++i)
		if (!strncmp(t->switches->sign.text[i], start, strlen(start))) return true;
	return false;
}

// Three questions at most, then a check if there is one that is not held back; after the first check the one
// of both that tells more a minute.
static char offer_next(talk *t)
{
	size_t i;
	json_t *one;
	const json_t *ask = NULL, *next = NULL;
	json_array_foreach(json_object_get(t->answer, "ask"), i,
	    one) if (!ask && dk_pick_number(one, "bits") >= kLeastBits && !was_asked(t, one)) ask = one;
	json_array_foreach(json_object_get(t->answer, "next"), i,
	    one) if (!next && !dk_pick_text(one, "held_back")[0]) next = one;
	const bool rate =
	    ask && next && dk_pick_number(ask, "bits_per_minute") > dk_pick_number(next, "bits_per_minute");
	if (ask && (!next || (t->in_row < kInRow && (!t->looked || rate)))) return offer_question(t, ask);
	if (next) return offer_check(t, next);
	printf("\nNothing more to ask or look at aboard. A yard can tell more.\n");
	return 'q';
}

// returns 1 where a red rule holds at the end
static int converse(talk *t)
{
	dk_error error;
	char letter = ask_where(t) && ask_red(t) ? 0 : 'q';
	while (letter != 'q')
	{
		json_decref(t->answer);
		t->answer = NULL;
		if (dk_session_switches(t->session, t->switches, &t->answer, &error) != DK_OK)
		{
			complain(&error);
			return 2;
		}
		printf("\n");
		dk_show_status(t->answer);
		letter = offer_next(t);
		if (letter == 'b') take_back(&t->said);
	}
	if (!t->answer) return 0;
	printf("\n");
	dk_show_trace(t->answer);
	return json_is_object(json_object_get(t->answer, "red_rule")) ? 1 : 0;
}

// boat, banks of the condition that was said, and the session over both
static dk_status open_all(
    dk_arguments *arguments, dk_arena *arena, dk_boat **boat, dk_banks **banks, dk_error *error)
{
	dk_request request;
	dk_numbers numbers;
	dk_banks_order order = dk_default_banks_order();
	order.progress = dk_progress_print;
	DK_TRY(dk_switches_numbers(&arguments->switches, &numbers, error));
	DK_TRY(dk_app_trace_boat(&arguments->switches, boat, error));
	DK_TRY(dk_app_request(&arguments->switches, *boat, arena, &request, error));
	order.cache_folder = arguments->switches.cache_folder;
	order.seed = numbers.seed;
	order.threads = numbers.threads;
	order.lanes = numbers.lanes;
	order.severities = numbers.severities;
	return dk_banks_open(*boat, &request.said, &order, banks, error);
}

int dk_ask_run(dk_arguments *arguments)
{
	dk_boat *boat = NULL;
	dk_banks *banks = NULL;
	dk_error error;
	dk_arena *arena = dk_arena_new();
	talk *t = calloc(1, sizeof *t);
	int code = 2;
	if (t && open_all(arguments, arena, &boat, &banks, &error) == DK_OK)
	{
		const dk_session session = { .boat = boat, .banks = banks };
		t->session = &session;
		t->switches = &arguments->switches;
		code = converse(t);
		json_decref(t->answer);
	}
	else if (t)
	{
		char sentence[DK_ERROR_TEXT];
		fprintf(stderr, "donkeyman: %s\n", dk_error_text(&error, sentence, sizeof sentence));
	}
	dk_banks_close(banks);
	dk_boat_close(boat);
	dk_arena_free(arena);
	free(t);
	return code;
}
