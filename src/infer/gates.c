// Gates: see gates.h.
#include "infer/gates.h"
#include "infer/red_rules.h"

dk_gate_state dk_gate_state_of(const dk_catalog *catalog, const dk_request *request, int gate)
{
	const dk_gate *row = &catalog->gate[gate];
	for (int i = 0; i < row->closed_by_count; ++i)
		if (dk_red_condition(catalog, request, &row->closed_by[i])) return DK_GATE_SHUT;
	for (int i = 0; i < request->passed_count; ++i)
		if (request->passed[i] == gate) return DK_GATE_OPEN;
	return DK_GATE_ASK;
}

int dk_gates_before(
    const dk_catalog *catalog, const dk_request *request, const dk_check *check, int *ask, int *shut)
{
	int count = 0;
	for (int i = 0; i < check->gate_count; ++i)
	{
		const dk_gate_state state = dk_gate_state_of(catalog, request, check->gate[i]);
		if (state == DK_GATE_SHUT)
		{
			if (shut) *shut = check->gate[i];
			return -1;
		}
		if (state == DK_GATE_ASK && ask) ask[count] = check->gate[i];
		count += state == DK_GATE_ASK;
	}
	return count;
}

bool dk_gates_open(const dk_catalog *catalog, const dk_request *request, const dk_check *check)
{
	return dk_gates_before(catalog, request, check, NULL, NULL) == 0;
}
