#include "plant/air.h"
#include "plant/smooth.h"
#include "plant/steam.h"

static const double kGasConstant = 287.05; // dry air [J/(kg K)]
static const double kHeat = 1005;          // dry air at constant pressure [J/(kg K)]
static const double kHorsepower = 745.7;   // [W]
static const double kSquareInch = 6.4516e-4;
static const double kCubicFoot = 0.028316846592;

// a drop bends off below 0.6 of the pressure it falls from, so that no pressure goes below 0.16 of outside
// [ASSUMED-320]
static dk_real held_drop(dk_real drop_pa, dk_real from_pa)
{
	return drop_pa / (1.0 + drop_pa / (0.6 * from_pa));
}

void DK_FN(dk_air_intake)(const dk_air_def *def, const dk_air_ports *ports, dk_air_result *out)
{
	const dk_real flow = ports->air_kg_s;
	out->humidity_kg_kg = DK_FN(dk_steam_in_air)(ports->outside_k, ports->outside_pa, ports->humidity);

	// vent: Bernoulli with a discharge coefficient [HEY88 app C]
	const dk_real outside_kg_m3 = ports->outside_pa / (kGasConstant * ports->outside_k);
	const dk_real through = flow / (def->vent_cd * def->vent_m2);
	const dk_real vent_pa = through * through / (2.0 * outside_kg_m3);
	out->space_pa = ports->outside_pa - held_drop(vent_pa, ports->outside_pa);

	// heat of the space: what is radiated and lost by the block leaves with the air drawn and through the
	// walls
	const dk_real heat_w = def->radiated_share * ports->fuel_w + ports->block_w;
	const dk_real away_w_k = def->space_w_k + flow * kHeat;
	out->space_k = ports->outside_k + heat_w / away_w_k;

	// filter and duct: with flow squared, given at 1.15 kg/m3
	const dk_real space_kg_m3 = out->space_pa / (kGasConstant * out->space_k);
	const dk_real filter_pa = def->filter_pa_s2_kg2 * flow * flow * 1.15 / space_kg_m3;
	out->intake_pa = out->space_pa - held_drop(filter_pa, out->space_pa);
	out->depression_pa = ports->outside_pa - out->intake_pa;

	// the manifold warms the air in proportion to how warm the engine is; full at 50 K above the space
	// [ASSUMED-321]
	out->intake_k = out->space_k + def->intake_heating_k * (ports->coolant_k - out->space_k) / 50.0;
}

dk_real DK_FN(dk_air_vent_area)(dk_real power_w)
{
	return power_w / kHorsepower / 3.3 * kSquareInch; // [GERR]
}

dk_real DK_FN(dk_air_vent_flow)(dk_real power_w)
{
	return 2.75 * power_w / kHorsepower * kCubicFoot / 60.0; // [GERR]
}

dk_real DK_FN(dk_air_drawn)(dk_real displacement_m3, dk_real speed_rad_s, dk_real filling)
{
	return displacement_m3 * speed_rad_s / (4.0 * 3.14159265358979323846) * filling; // [HEY88 eq 2.27]
}

dk_real DK_FN(dk_air_heat_flow)(dk_real heat_w, dk_real rise_k)
{
	return heat_w / (1.15 * kHeat * rise_k);
}
