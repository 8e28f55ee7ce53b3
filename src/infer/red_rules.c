// Red rules: see red_rules.h.
#include "infer/red_rules.h"
#include "engine/tables.h"

bool dk_red_condition(const dk_catalog *catalog, const dk_request *request, const dk_condition_row *row)
{
	// where he is stands beside the observations
	if (row->sign == catalog->where && row->sign >= 0)
		return request->where >= 0 && (row->answers >> request->where & 1);
	for (int i = 0; i < request->observation_count; ++i)
	{
		const dk_observation *seen = &request->observation[i];
		const int sign = seen->kind == DK_SEEN_SIGN    ? seen->row
		                 : seen->kind == DK_SEEN_CHECK ? catalog->check[seen->row].sign
		                                               : -1;
		if (sign != row->sign || seen->before != row->before || seen->special != DK_SPECIAL_NONE) continue;
		if ((seen->answers & row->answers) && (row->points >> seen->point & 1)) return true;
	}
	return false;
}

// the true reading behind a needle on the panel
static int behind(int reading)
{
	if (reading == DK_READING_oil_gauge) return DK_READING_oil_pressure;
	if (reading == DK_READING_coolant_gauge) return DK_READING_coolant_temperature;
	return reading;
}

// a number read now that lies beyond a limit
static bool beyond(const dk_request *request, const dk_limit *limit)
{
	const int wanted = dk_reading_find(limit->reading);
	for (int i = 0; i < request->observation_count; ++i)
	{
		const dk_observation *seen = &request->observation[i];
		if (seen->reading < 0 || seen->before || seen->special != DK_SPECIAL_NONE) continue;
		if (behind(seen->reading) != wanted || !(limit->points >> seen->point & 1)) continue;
		if (limit->sense == DK_SENSE_ABOVE ? seen->value > limit->value : seen->value < limit->value)
			return true;
	}
	return false;
}

bool dk_red_holds(const dk_catalog *catalog, const dk_request *request, const dk_red_rule *rule)
{
	int met = 0;
	for (int i = 0; i < rule->limit_count; ++i)
		if (beyond(request, &catalog->limit[rule->limit[i]])) return true;
	for (int i = 0; i < rule->condition_count; ++i)
		met += dk_red_condition(catalog, request, &rule->condition[i]);
	return rule->condition_count > 0 && (rule->all ? met == rule->condition_count : met > 0);
}

static void order_at(const dk_red_rule *rule, int where, dk_red *red)
{
	red->order = rule->order;
	red->then = rule->then.item;
	red->then_count = rule->then.count;
	for (int i = 0; i < rule->at_count; ++i)
	{
		if (rule->at[i].where != where) continue;
		if (rule->at[i].order) red->order = rule->at[i].order;
		if (rule->at[i].then.count == 0) continue;
		red->then = rule->at[i].then.item;
		red->then_count = rule->at[i].then.count;
	}
}

void dk_red_rules(const dk_catalog *catalog, const dk_request *request, dk_arena *arena, dk_red *red)
{
	int *waiting = dk_arena_array(arena, (size_t)catalog->red_rule_count + 1, sizeof *waiting);
	int count = 0;

	// people first, then fire, flooding, engine; rows are in order of id already
	for (int concern = 0; concern < DK_CONCERN_COUNT; ++concern)
		for (int i = 0; i < catalog->red_rule_count; ++i)
			if ((int)catalog->red_rule[i].concern == concern &&
			    dk_red_holds(catalog, request, &catalog->red_rule[i]))
				waiting[count++] = i;
	*red = (dk_red){ .rule = -1 };
	if (count == 0) return;
	red->rule = waiting[0];
	red->waiting = waiting + 1;
	red->waiting_count = count - 1;
	order_at(&catalog->red_rule[red->rule], request->where, red);
}
