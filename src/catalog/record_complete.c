// What a record leaves out: defaults by type of injection, by what is fitted, and by size.
#include "base/units.h"
#include "catalog/record_build.h"
#include "catalog/record_fields.def"
#include <math.h>
#include <string.h>

#define COUNT(list) ((int)(sizeof(list) / sizeof(list)[0]))

// Rated power of the engine of the defaults [W]: the size rules are relative to it.
static const double default_power_w = 28e3;

static bool given(const dk_record_building *b, int param)
{
	return b->record.given[param];
}

void dk_record_derive(dk_record_building *b, int param, double value, const char *how)
{
	const dk_param_row *p = &dk_param_info[param];
	b->record.param[param] = fmin(fmax(value, p->low), p->high);
	b->record.source[param] = how;
}

static double swept(const double *param)
{
	return param[DK_PARAM_cylinder_count] * 0.785398163397448 * param[DK_PARAM_cylinder_bore_m] *
	       param[DK_PARAM_cylinder_bore_m] * param[DK_PARAM_cylinder_stroke_m];
}

// Direct injection burns faster and more of it premixed, in a plainer chamber.  [ASSUMED-686]
static void by_injection(dk_record_building *b)
{
	static const struct
	{
		int param;
		double value;
	} direct[] = {
		{ DK_PARAM_cylinder_chamber_area_factor, 1.0 },
		{ DK_PARAM_cylinder_premixed_share, 0.25 },
		{ DK_PARAM_cylinder_burn_span_deg, 70 },
	};
	if (b->record.param[DK_PARAM_cylinder_indirect] > 0.5) return;
	for (int i = 0; i < COUNT(direct); ++i)
		if (!given(b, direct[i].param))
			dk_record_derive(b, direct[i].param, direct[i].value, "direct injection");
}

static bool fitted(const dk_record_building *b, int question, const char *answer)
{
	return b->record.installation.answer[question] == dk_install_answer_find(question, answer);
}

// what is not aboard has no power, no water, no pressure
static void by_installation(dk_record_building *b)
{
	const bool plugs = fitted(b, DK_INSTALL_start_aid, "glow_plugs");
	if (!given(b, DK_PARAM_starting_heater_watts) && !plugs)
		dk_record_derive(b, DK_PARAM_starting_heater_watts, 0, "no glow plugs are fitted");
	if (!given(b, DK_PARAM_exhaust_wet) && b->record.installation.given[DK_INSTALL_exhaust])
		dk_record_derive(b, DK_PARAM_exhaust_wet, fitted(b, DK_INSTALL_exhaust, "wet"), "the installation");
	if (fitted(b, DK_INSTALL_cooling, "raw_water") && !given(b, DK_PARAM_cooling_thermostat_start_k))
	{
		// [ASSUMED-689] sea water in the block is held below the heat at which salt falls out
		dk_record_derive(b, DK_PARAM_cooling_thermostat_start_k, 328.15, "raw-water cooled, ASSUMED-689");
		if (!given(b, DK_PARAM_cooling_thermostat_full_k))
			dk_record_derive(b, DK_PARAM_cooling_thermostat_full_k, 338.15, "raw-water cooled, ASSUMED-689");
	}
	if (!given(b, DK_PARAM_fuel_lift_pa) && fitted(b, DK_INSTALL_lift_pump, "none"))
		dk_record_derive(b, DK_PARAM_fuel_lift_pa, 0, "no lift pump is fitted");
}

// size relative to the engine of the defaults
typedef struct size
{
	double power, swept, rpm, bore, stroke, lwl;
} size;

static void by_size(dk_record_building *b)
{
	static const struct
	{
		int param;
		double power, swept, rpm, bore, stroke, lwl;
	} rules[] = {
#define X(system, name, power, swept, rpm, bore, stroke, lwl)                                                \
	{ DK_PARAM_##system##_##name, power, swept, rpm, bore, stroke, lwl },
		DK_RECORD_SIZES(X)
#undef X
	};
	double usual[DK_PARAM_COUNT];
	dk_param_defaults(usual);
	const double *param = b->record.param;
	size s = { .swept = swept(param) / swept(usual),
		.rpm = param[DK_PARAM_fuel_rated_rpm] / usual[DK_PARAM_fuel_rated_rpm],
		.bore = param[DK_PARAM_cylinder_bore_m] / usual[DK_PARAM_cylinder_bore_m],
		.stroke = param[DK_PARAM_cylinder_stroke_m] / usual[DK_PARAM_cylinder_stroke_m] };
	s.power = b->record.rated_power_w > 0 ? b->record.rated_power_w / default_power_w : s.swept * s.rpm;
	for (int i = 0; i < COUNT(rules); ++i)
	{
		const int p = rules[i].param;
		s.lwl = param[DK_PARAM_driveline_lwl_m] / usual[DK_PARAM_driveline_lwl_m];
		if (given(b, p)) continue;
		const double factor = pow(s.power, rules[i].power) * pow(s.swept, rules[i].swept) *
		                      pow(s.rpm, rules[i].rpm) * pow(s.bore, rules[i].bore) *
		                      pow(s.stroke, rules[i].stroke) * pow(s.lwl, rules[i].lwl);
		if (fabs(factor - 1) > 1e-12) dk_record_derive(b, p, usual[p] * factor, "by size, ASSUMED-685");
	}
}

// Fuel at the rack stop: given; or from the fuel use at rated; or from rated power. [ASSUMED-688] fuel use
// at rated power 275 g/kWh indirect, 240 direct, of small marine diesels without turbo
static void full_load_fuel(dk_record_building *b)
{
	const double *param = b->record.param;
	if (given(b, DK_PARAM_fuel_rack_max_kg)) return;
	const double per_second = param[DK_PARAM_cylinder_count] * param[DK_PARAM_fuel_rated_rpm] / 120;
	const double use = param[DK_PARAM_cylinder_indirect] > 0.5 ? 275 : 240;
	if (b->fuel_at_rated_m3_s > 0)
	{
		const double kg = b->fuel_at_rated_m3_s * param[DK_PARAM_fuel_density_kg_m3] / per_second;
		dk_record_derive(b, DK_PARAM_fuel_rack_max_kg, kg, "from the fuel use at rated power");
		b->record.given[DK_PARAM_fuel_rack_max_kg] = 1;
	}
	else if (b->record.rated_power_w > 0)
	{
		const double kg = b->record.rated_power_w * dk_unit_to_si(use, "g/kWh") / per_second;
		dk_record_derive(b, DK_PARAM_fuel_rack_max_kg, kg, "from rated power, ASSUMED-688");
	}
	else
	{
		double usual[DK_PARAM_COUNT];
		dk_param_defaults(usual);
		const double each = param[DK_PARAM_cylinder_count] / usual[DK_PARAM_cylinder_count];
		const double kg = usual[DK_PARAM_fuel_rack_max_kg] * swept(param) / swept(usual) / each;
		dk_record_derive(b, DK_PARAM_fuel_rack_max_kg, kg, "by size, ASSUMED-685");
	}
}

static void note_missing(dk_record_building *b)
{
	int count = 0;
	const dk_record_field *field = dk_record_fields(&count);
	dk_missing *list = dk_arena_array(b->arena, (size_t)count + (size_t)dk_record_plain_count, sizeof *list);
	int n = 0;
	for (int i = 0; i < dk_record_plain_count; ++i)
	{
		const dk_record_plain *plain = &dk_record_plains[i];
		if (*(const double *)((const char *)b + plain->offset) > 0 || !*plain->costs) continue;
		list[n++] = (dk_missing){ plain->name, -1, NAN, plain->unit, plain->costs };
	}
	for (int i = 0; i < count; ++i)
	{
		const int p = field[i].param;
		if (given(b, p) || !*field[i].costs) continue;
		if (p == DK_PARAM_starting_heater_watts && !fitted(b, DK_INSTALL_start_aid, "glow_plugs")) continue;
		const char *unit = "";
		const double taken = dk_record_written(i, b->record.param, &unit);
		list[n++] = (dk_missing){ field[i].name, p, taken, unit, field[i].costs };
	}
	b->record.missing = list;
	b->record.missing_count = n;
}

static void twins(dk_record *record)
{
	for (int i = 0; i < DK_PARAM_COUNT; ++i)
	{
		const int twin = dk_param_info[i].twin;
		if (twin <= i || record->given[twin]) continue;
		record->param[twin] = record->param[i];
		record->given[twin] = record->given[i];
		record->source[twin] = record->source[i];
	}
}

void dk_record_complete(dk_record_building *b)
{
	by_injection(b);
	by_installation(b);
	by_size(b);
	full_load_fuel(b);
	if (b->pitch_m > 0)
	{
		const char *source = b->record.source[DK_PARAM_driveline_pitch_ratio];
		const double ratio = b->pitch_m / b->record.param[DK_PARAM_driveline_propeller_m];
		dk_record_derive(b, DK_PARAM_driveline_pitch_ratio, ratio, source);
		b->record.given[DK_PARAM_driveline_pitch_ratio] = 1;
	}
	twins(&b->record);
	b->record.max_rpm =
	    b->record.param[DK_PARAM_fuel_rated_rpm] * b->record.param[DK_PARAM_fuel_no_load_ratio];
	note_missing(b);
}
