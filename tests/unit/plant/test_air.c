// Combustion air: vent rules as printed, heat balance of the space, directions.
#include "plant/air.h"
#include "plant/steam.h"
#include "rows.h"

static dk_air_def air_def(void)
{
	return (dk_air_def){ DK_PARAMS_AIR(ROWS_FIELD) };
}

static const dk_air_ports kRated = { .outside_pa = 101325,
	.outside_k = 288.15,
	.humidity = 0.6,
	.air_kg_s = 0.037,
	.fuel_w = 92e3,
	.block_w = 600,
	.coolant_k = 357 };

static dk_air_result run(const dk_air_def *def, const dk_air_ports *ports)
{
	dk_air_result out;
	DK_FN(dk_air_intake)(def, ports, &out);
	return out;
}

static void printed_values(void **state)
{
	(void)state;
	const double kTurns = 3.14159265358979323846 / 30;
	const row rows[] = {
		{ "vent area 30 kW [cm2]", DK_FN(dk_air_vent_area)(30e3) * 1e4, 78.6, 0.15,
		    "GERR; 2.62 cm2/kW as printed, half its last digit" },
		{ "vent flow 30 kW [m3/min]", DK_FN(dk_air_vent_flow)(30e3) * 60, 3.13, 0.005, "GERR" },
		{ "air drawn 1.5 L 3000 0.85 [m3/h]", DK_FN(dk_air_drawn)(1.5e-3, 3000 * kTurns, 0.85) * 3600, 114.75,
		    0.005, "HEY88 eq 2.27" },
		{ "air drawn 2.2 L 2800 0.86 [m3/h]", DK_FN(dk_air_drawn)(2.2e-3, 2800 * kTurns, 0.86) * 3600, 158.9,
		    0.05, "HEY88 eq 2.27" },
		{ "1.5 kW at 15 K [m3/s]", DK_FN(dk_air_heat_flow)(1500, 15), 0.0865, 0.00005, "heat balance" },
		{ "vapour pressure 25 degC [kPa]", DK_FN(dk_steam_pressure)(298.15) / 1e3, 3.169, 0.016,
		    "steam table; fit 0.5 %" },
		{ "vapour pressure 50 degC [kPa]", DK_FN(dk_steam_pressure)(323.15) / 1e3, 12.352, 0.062,
		    "steam table; fit 0.5 %" },
		{ "vapour pressure 100 degC [kPa]", DK_FN(dk_steam_pressure)(373.15) / 1e3, 101.42, 0.51,
		    "steam table; fit 0.5 %" },
	};
	assert_int_equal(rows_bad(rows, COUNT(rows)), 0);
}

// what enters the space leaves with the air and through the walls
static void heat_closes(void **state)
{
	(void)state;
	const dk_air_def def = air_def();
	const dk_air_result out = run(&def, &kRated);
	const double rise = out.space_k - kRated.outside_k;
	const double in = def.radiated_share * kRated.fuel_w + kRated.block_w;
	const double away = rise * (kRated.air_kg_s * 1005 + def.space_w_k);
	assert_true(fabs(in - away) < 1e-9 * in);

	// a sound engine space: 20..30 K above outside at rated, depression well under 0.5 kPa, clean intake
	// under 3 kPa
	assert_true(rise > 18 && rise < 32);
	assert_true(kRated.outside_pa - out.space_pa < 100);
	assert_true(out.depression_pa > 1200 && out.depression_pa < 2500);
}

static void directions(void **state)
{
	(void)state;
	const dk_air_def def = air_def();
	const dk_air_result sound = run(&def, &kRated);
	double vent = -1, filter = -1;
	for (int i = 0; i <= 40; ++i)
	{
		dk_air_def small = def, clogged = def;
		small.vent_m2 *= pow(10, -i / 10.0);
		clogged.filter_pa_s2_kg2 *= pow(10, i / 10.0);
		const double a = run(&small, &kRated).depression_pa;
		const double b = run(&clogged, &kRated).depression_pa;
		assert_true(a > vent && b > filter);
		vent = a, filter = b;
	}
	assert_true(vent < 0.86 * 101325 && filter < 0.86 * 101325);

	// a filter leaves the space alone; hot outside air warms what is drawn kelvin for kelvin
	dk_air_def clogged = def;
	clogged.filter_pa_s2_kg2 *= 20;
	assert_true(run(&clogged, &kRated).space_pa == sound.space_pa);
	dk_air_ports hot = kRated;
	hot.outside_k += 10;
	assert_true(run(&def, &hot).space_k > sound.space_k + 9.9);

	// cold engine: the manifold does not warm the air
	dk_air_ports cold = kRated;
	cold.fuel_w = 0, cold.block_w = 0, cold.coolant_k = 288.15;
	assert_true(fabs(run(&def, &cold).intake_k - 288.15) < 1e-9);
}

int main(void)
{
	const struct CMUnitTest tests[] = {
		cmocka_unit_test(printed_values),
		cmocka_unit_test(heat_closes),
		cmocka_unit_test(directions),
	};
	return cmocka_run_group_tests(tests, NULL, NULL);
}
