#pragma once
// The cranking cycle with a choice of wall heat: for the published motored runs. Internal to the room and to
// calc.
#include "cycle/cylinder.h"
#include "cycle/heat.h"

// As dk_cylinder_crank, heat_kind DK_HEAT_NONE, DK_HEAT_WOSCHNI or DK_HEAT_HOHENBERG.
void DK_FN(dk_crank_run)(const dk_cylinder_def *def, const dk_cylinder_ports *in, const dk_crank_grid *grid,
    dk_real extra_m3, int heat_kind, dk_crank_result *out);
