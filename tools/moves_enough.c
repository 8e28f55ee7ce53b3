// For tools/check_honest: how many readings each fault moves at severity 0.7 by more than a skipper can miss.
// Prints one line a fault that this engine can have: id, count at air 0 degC, count at air 15 degC.
#include "app/boat.h"
#include "population/bank_group.h"
#include <stdio.h>
#include <stdlib.h>

static int count_moves(const dk_boat *boat)
{
	const int faults = boat->catalog->fault_count;
	int *cold = calloc((size_t)faults, sizeof *cold), *mild = calloc((size_t)faults, sizeof *mild);
	dk_condition node = dk_default_condition();
	dk_status status = cold && mild ? DK_OK : DK_NO_MEMORY;
	if (status == DK_OK)
		status =
		    dk_population_moves_enough(boat->breaking, boat->record.param, &node, boat->present, 0, mild);
	node.air_k = 273.15;
	if (status == DK_OK)
		status =
		    dk_population_moves_enough(boat->breaking, boat->record.param, &node, boat->present, 0, cold);
	for (int f = 0; f < faults && status == DK_OK; ++f)
		if (boat->fault_possible[f]) printf("%s %d %d\n", boat->catalog->fault[f].id, cold[f], mild[f]);
	free(cold);
	free(mild);
	return status == DK_OK ? 0 : 1;
}

int main(int count, char **word)
{
	dk_boat *boat;
	dk_error error;
	if (count != 3)
	{
		fprintf(stderr, "moves_enough DATA_FOLDER ENGINE\n");
		return 2;
	}
	if (dk_boat_open(word[1], word[2], NULL, 0, &boat, &error) != DK_OK)
	{
		char text[DK_ERROR_TEXT];
		fprintf(stderr, "%s\n", dk_error_text(&error, text, sizeof text));
		return 1;
	}
	const int bad = count_moves(boat);
	dk_boat_close(boat);
	return bad;
}
