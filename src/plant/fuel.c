#include "plant/fuel.h"
#include "plant/smooth.h"

static const double kRpm = 0.10471975511965977; // rad/s per rpm
static const double kGravity = 9.80665;
static const double kHourS = 3660; // 61 min: 'not within the hour'

// below this the gas in the fuel comes out and a gallery no longer fills [ASSUMED-303]
static const double kGasOutPa = 35e3;
// over this much more the delivery falls to nothing [ASSUMED-304]
static const double kStarvePa = 10e3;
// a diaphragm pump draws no harder than this; it weakens over the last kStarvePa [ASSUMED-305]
static const double kLiftLimitPa = 45e3;
// air dissolved in diesel fuel, by volume at one atmosphere [ASSUMED-306]
static const double kDissolved = 0.12;
// share of the returned volume that can be bubbles carried off by the return [ASSUMED-307]
static const double kCarry = 0.15;
// filter head that collects air before the pump draws it [ASSUMED-308]
static const double kHeadM3 = 1.0e-4;
// pipe and filters that can drain at rest [ASSUMED-309]
static const double kDrainM3 = 3.0e-4;
// bubbles that go through with the fuel, over those drawn, and fuel lost per volume of them [ASSUMED-310]
static const double kThrough = 0.3;
static const double kAirLoss = 3.0;
// water share at which misfires reach 63 % [ASSUMED-311]
static const double kWaterMisfire = 0.2;
// viscosity of diesel fuel per kelvin, near 20 degC [ASSUMED-312]
static const double kViscosity = 0.023;

dk_real DK_FN(dk_fuel_vcf)(dk_real density_15_kg_m3, dk_real fuel_k)
{
	const dk_mask heavy = density_15_kg_m3 >= 838.3;
	const dk_real k0 = dk_choose(heavy, dk_set(186.9696), dk_set(594.5418)); // [D1250]
	const dk_real k1 = dk_choose(heavy, dk_set(0.48618), dk_set(0));
	const dk_real alpha = k0 / (density_15_kg_m3 * density_15_kg_m3) + k1 / density_15_kg_m3;
	const dk_real warm = fuel_k - 288.15;
	return dk_exp(-alpha * warm * (1.0 + 0.8 * alpha * warm));
}

dk_real DK_FN(dk_fuel_density)(const dk_fuel_def *def, dk_real fuel_k)
{
	return def->density_kg_m3 * DK_FN(dk_fuel_vcf)(def->density_kg_m3, fuel_k);
}

// the resistances of the line at this speed and temperature, and the pressures with no flow
typedef struct line
{
	dk_real suction, lift, fine; // Pa s/m3: tank to lift pump, lift pump, fine filter
	dk_real static_pa;           // at the lift pump's inlet with no flow, gauge
	dk_real asked_m3_s;          // flow if all that is asked were delivered
	dk_real density;
} line;

static line line_of(const dk_fuel_def *def, const dk_fuel_ports *ports)
{
	line l;
	l.density = DK_FN(dk_fuel_density)(def, ports->fuel_k);

	// cold fuel is thick: every Darcy resistance grows with it
	const dk_real thick = dk_exp(kViscosity * (293.15 - ports->fuel_k));

	// dirt that stands in the bowl covers part of the primary element [ASSUMED-313]
	const dk_real primary = def->filter_primary_pa_s_m3 * (1.0 + 3.0 * def->bowl_dirt * def->bowl_dirt);
	l.suction = thick * (def->suction_pa_s_m3 + primary);
	l.fine = thick * def->filter_fine_pa_s_m3;

	// a spring-driven diaphragm keeps its pressure; what it can move goes with speed
	const dk_real over_rated = ports->speed_rad_s / (kRpm * def->rated_rpm);
	l.lift = def->lift_pa_s_m3 / (over_rated + 0.01);
	l.static_pa = l.density * kGravity * def->tank_head_m;
	l.asked_m3_s = (1.0 + def->return_ratio) * ports->injected_kg_s / l.density;
	return l;
}

static dk_real square(dk_real x)
{
	return x * x;
}

// share of the asked flow that the line can deliver, flow and pressure solved together
static dk_real line_share(const dk_fuel_def *def, const line *l)
{
	// gallery: share = (inlet + 35 kPa)/10 kPa with inlet = still - resistance x share x flow
	const dk_real still = dk_soft_plus(l->static_pa + def->lift_pa + kGasOutPa, dk_set(500));
	const dk_real gallery = (kStarvePa + (l->suction + l->lift + l->fine) * l->asked_m3_s) / still;

	// lift pump: the same against the greatest suction it draws
	const dk_real draw = dk_soft_plus(l->static_pa + kLiftLimitPa, dk_set(500));
	const dk_real lift = (kStarvePa + l->suction * l->asked_m3_s) / draw;

	// the least of 1 and the two, rounded where they meet and never above any: 16-norm of what each asks over
	// what it has
	const dk_real asks = square(square(square(square(dk_min(gallery, dk_set(1e12))))));
	const dk_real draws = square(square(square(square(dk_min(lift, dk_set(1e12))))));
	return 1.0 / dk_sqrt(dk_sqrt(dk_sqrt(dk_sqrt(1.0 + asks + draws))));
}

// air that comes in through a leak and out of the fuel, at outside pressure
static dk_real air_drawn(const dk_fuel_def *def, dk_real vacuum_pa, dk_real flow_m3_s, dk_real outside_pa)
{
	const dk_real leak = def->air_leak_m3_pa_s * dk_soft_plus(vacuum_pa, dk_set(200));

	// Henry: gas held is in proportion to pressure; it stays in until well under saturation [ASSUMED-306]
	const dk_real under = dk_soft_plus(vacuum_pa - kGasOutPa, dk_set(1e3));
	return leak + kDissolved * flow_m3_s * under / outside_pa;
}

// seconds until the engine stops for want of fuel: tank, or air gathered in the filter head
static dk_real stop_seconds(
    const dk_fuel_def *def, const dk_fuel_supply *out, dk_real outside_pa, dk_real burnt_m3_s)
{
	const dk_real tank = def->tank_m3 / (burnt_m3_s + 1e-12);

	// in the head the air stands under the pressure there; the return takes its share of bubbles
	const dk_real head_pa = dk_max(outside_pa + out->inlet_pa, dk_set(3e4));
	const dk_real air = out->air_m3_s * outside_pa / head_pa;
	const dk_real returned = out->flow_m3_s * def->return_ratio / (1.0 + def->return_ratio);
	const dk_real gathered = dk_soft_plus(air - kCarry * returned, 0.02 * air + 1e-12);
	const dk_real head = kHeadM3 / gathered;

	// the sooner of the two, and no later than 'not within the hour'
	const dk_real sooner = dk_min(tank * head / (tank + head), dk_set(1e5));
	return dk_smooth_min(sooner, dk_set(kHourS), dk_set(1));
}

void DK_FN(dk_fuel_supply)(const dk_fuel_def *def, const dk_fuel_ports *ports, dk_fuel_supply *out)
{
	const line l = line_of(def, ports);
	const dk_real share = line_share(def, &l);

	// node by node with what flows
	out->flow_m3_s = share * l.asked_m3_s;
	out->vacuum_pa = l.suction * out->flow_m3_s - l.static_pa;
	out->lift_outlet_pa = def->lift_pa - l.lift * out->flow_m3_s - out->vacuum_pa;
	out->inlet_pa = out->lift_outlet_pa - l.fine * out->flow_m3_s;

	// air in the stream: its volume displaces fuel in the plungers
	out->air_m3_s = air_drawn(def, out->vacuum_pa, out->flow_m3_s, ports->outside_pa);
	out->air_share = out->air_m3_s / (out->air_m3_s + out->flow_m3_s + 1e-12);
	const dk_real airless = 1.0 - dk_soft_unit(kAirLoss * kThrough * out->air_share, dk_set(1e-3));
	out->delivery = share * airless;

	// water: in the fuel, and over the lip of a bowl that is nearly full of it [ASSUMED-314]
	const dk_real carried = 0.3 * dk_smooth_step(def->bowl_water, dk_set(0.7), dk_set(1.0));
	out->water_share = 1.0 - (1.0 - def->water_share) * (1.0 - carried);
	const dk_real water_kg = 998.0 * out->water_share;
	const dk_real fuel_kg = l.density * (1.0 - out->water_share);
	out->fuel_share = fuel_kg / l.density;
	out->water_kg_kg = water_kg / fuel_kg;
	const dk_real slugs = out->water_share / kWaterMisfire;
	out->misfire = 1.0 - dk_exp(-slugs * slugs);

	const dk_real burnt_m3_s = out->delivery * ports->injected_kg_s / l.density;
	out->stop_s = stop_seconds(def, out, ports->outside_pa, burnt_m3_s);
}

void DK_FN(dk_fuel_prime)(const dk_fuel_def *def, const dk_fuel_ports *ports, dk_fuel_prime *out)
{
	const line l = line_of(def, ports);

	// the column hangs from the pump and draws through the leak, until it has drained [ASSUMED-309]
	const dk_real hang_pa = dk_soft_plus(-l.static_pa, dk_set(100));
	const dk_real inflow_m3 = def->air_leak_m3_pa_s * hang_pa * ports->soak_s;
	out->air_m3 = kDrainM3 * (1.0 - dk_exp(-inflow_m3 / kDrainM3));

	// the lift pump moves air as it moves fuel: its free flow at this speed
	const dk_real free_m3_s = def->lift_pa / (l.lift + l.suction);
	const dk_real seconds = out->air_m3 / (free_m3_s + 1e-9);
	out->seconds = seconds / (1.0 + seconds / 120.0);

	// share of the first ten seconds in which solid fuel is there: 1/(1 + t/10)
	out->delivery = 1.0 / (1.0 + out->seconds / 10.0);
}
