// Small networks with published or exactly computed posteriors, through the arithmetic that the trace uses.
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "infer/mix.h"
#include "num/philox.h"
#include <math.h>
#include <stdbool.h>
#include <stdio.h>
#include <string.h>

#define COUNT(x) ((int)(sizeof(x) / sizeof *(x)))

// half the last printed digit of the tables
#define PRINTED 5.1e-7

static void near(double got, double want, double within, const char *what)
{
	if (fabs(got - want) <= within) return;
	fail_msg("%s: want %.9f got %.9f", what, want, got);
}

static double marginal(const double *share, int states, int bit)
{
	double sum = 0;
	for (int s = 0; s < states; ++s)
		if (s >> bit & 1) sum += share[s];
	return sum;
}

// ---- a car that does not start. Jensen, An Introduction to Bayesian Networks (1996), tables from memory;
// posteriors computed apart for the notes of this project, and .29 / .58 as in print.
static void test_car_start(void **unused)
{
	(void)unused;
	double prior[4], start[4 * 2], meter[4 * 3];
	for (int s = 0; s < 4; ++s)
	{
		const bool dry = s & 1, dirty = s & 2;
		prior[s] = (dry ? .02 : .98) * (dirty ? .04 : .96);
		start[2 * s + 1] = dry ? 0 : dirty ? .01 : .99;
		start[2 * s] = 1 - start[2 * s + 1];
		const double tank[2][3] = { { .39, .60, .01 }, { .001, .001, .998 } };
		memcpy(&meter[3 * s], tank[dry], sizeof tank[dry]);
	}
	const int answers[] = { 2, 3 };
	const double *const chance[] = { start, meter };
	const dk_mix_states net = { 4, 2, prior, answers, chance };
	static const struct
	{
		int seen[2];
		double evidence, dry, dirty;
	} row[] = {
		{ { 0, -1 }, .06821600, .293186, .580626 },
		{ { 0, 1 }, .02894960, .000691, .804350 },
		{ { 0, 2 }, .02044216, .976413, .058041 },
	};
	double share[4], full[4];
	for (int i = 0; i < COUNT(row); ++i)
	{
		near(dk_mix_weigh(&net, row[i].seen, share), row[i].evidence, 5e-9, "car: evidence");
		near(marginal(share, 4, 0), row[i].dry, PRINTED, "car: no fuel");
		near(marginal(share, 4, 1), row[i].dirty, PRINTED, "car: dirty plugs");
	}

	// the three readings of the meter share out the evidence
	const int seen[] = { 0, 0 };
	near(dk_mix_weigh(&net, seen, full), .06821600 - .02894960 - .02044216, 2e-8, "car: meter full");
}

// ---- the chest clinic. Lauritzen and Spiegelhalter, J. R. Statist. Soc. B 50 (1988) 157
enum
{
	ASIA,
	TUB,
	SMOKE,
	LUNG,
	BRONC,
	CAUSES,
	XRAY = 0,
	DYSP = 1,
	SAID_ASIA = 2,
	SAID_SMOKE = 3,
	SAID_BRONC = 4
};
typedef struct clinic
{
	double prior[32], chance[5][64];
	const double *row[5];
	int answers[5];
	dk_mix_states net;
} clinic;

static void make_clinic(clinic *c)
{
	for (int s = 0; s < 32; ++s)
	{
		const bool asia = s >> ASIA & 1, tub = s >> TUB & 1, smoke = s >> SMOKE & 1, lung = s >> LUNG & 1,
		           bronc = s >> BRONC & 1;
		const double t = asia ? .05 : .01, l = smoke ? .1 : .01, b = smoke ? .6 : .3;
		c->prior[s] = (asia ? .01 : .99) * .5 * (tub ? t : 1 - t) * (lung ? l : 1 - l) * (bronc ? b : 1 - b);
		const bool either = tub || lung;
		const double yes[5] = { either ? .98 : .05,
			either  ? (bronc ? .9 : .7)
			: bronc ? .8
			        : .1,
			asia, smoke, bronc };
		for (int k = 0; k < 5; ++k)
		{
			c->chance[k][2 * s + 1] = yes[k];
			c->chance[k][2 * s] = 1 - yes[k];
		}
	}
	for (int k = 0; k < 5; ++k) c->answers[k] = 2, c->row[k] = c->chance[k];
	c->net = (dk_mix_states){ 32, 5, c->prior, c->answers, c->row };
}

static void test_clinic(void **unused)
{
	(void)unused;
	static const struct
	{
		int seen[5];
		double evidence, tub, lung, bronc, smoke;
	} row[] = {
		{ { -1, -1, -1, -1, -1 }, 1, .010400, .055000, .450000, .500000 },
		{ { -1, 1, -1, -1, -1 }, .435970600, .018845, .102759, .833967, .633997 },
		{ { -1, 1, 1, -1, -1 }, .004501375, .087751, .099525, .811402, .625920 },
		{ { 0, 1, 1, -1, -1 }, .003513148, .002249, .002550, .862761, .604512 },
		{ { 1, -1, -1, -1, -1 }, .110290040, .092411, .488711, .506326, .687754 },
		{ { 1, 1, -1, 0, -1 }, .015150936, .255625, .245793, .565205, 0 },
	};
	clinic c;
	double share[32];
	make_clinic(&c);
	for (int i = 0; i < COUNT(row); ++i)
	{
		near(dk_mix_weigh(&c.net, row[i].seen, share), row[i].evidence, 5e-10, "clinic: evidence");
		near(marginal(share, 32, TUB), row[i].tub, PRINTED, "clinic: tub");
		near(marginal(share, 32, LUNG), row[i].lung, PRINTED, "clinic: lung");
		near(marginal(share, 32, BRONC), row[i].bronc, PRINTED, "clinic: bronc");
		near(marginal(share, 32, SMOKE), row[i].smoke, PRINTED, "clinic: smoke");
	}
}

static void test_clinic_next(void **unused)
{
	(void)unused;
	clinic c;
	double share[32];
	int lung[32], either[32];
	make_clinic(&c);
	for (int s = 0; s < 32; ++s) lung[s] = s >> LUNG & 1, either[s] = lung[s] || (s >> TUB & 1);
	const int seen[] = { -1, 1, -1, -1, -1 };
	dk_mix_weigh(&c.net, seen, share);
	near(dk_mix_state_bits(&c.net, share, XRAY, lung, 2), .301746, PRINTED, "bits of xray");
	near(dk_mix_state_bits(&c.net, share, SAID_SMOKE, lung, 2), .034277, PRINTED, "bits of smoke");
	near(dk_mix_state_bits(&c.net, share, SAID_BRONC, lung, 2), .019890, PRINTED, "bits of bronc");
	near(dk_mix_state_bits(&c.net, share, SAID_ASIA, lung, 2), .000001, PRINTED, "bits of asia");
	near(dk_mix_state_bits(&c.net, share, XRAY, either, 2), .370381, PRINTED, "bits of xray for either");
}

// ---- the burglar alarm. Pearl; numbers of Russell and Norvig
static void test_alarm(void **unused)
{
	(void)unused;
	double prior[8], john[16], mary[16], alarm[16], quake[16], share[8];
	for (int s = 0; s < 8; ++s)
	{
		const bool b = s & 1, e = s & 2, a = s & 4;
		const double ring = b ? (e ? .95 : .94) : e ? .29 : .001;
		prior[s] = (b ? .001 : .999) * (e ? .002 : .998) * (a ? ring : 1 - ring);
		const double yes[4] = { a ? .90 : .05, a ? .70 : .01, a, e };
		double *const table[4] = { john, mary, alarm, quake };
		for (int k = 0; k < 4; ++k) table[k][2 * s + 1] = yes[k], table[k][2 * s] = 1 - yes[k];
	}
	const int answers[] = { 2, 2, 2, 2 };
	const double *const chance[] = { john, mary, alarm, quake };
	const dk_mix_states net = { 8, 4, prior, answers, chance };
	const int both[] = { 1, 1, -1, -1 }, rings[] = { -1, -1, 1, -1 }, shakes[] = { -1, -1, 1, 1 };
	near(dk_mix_weigh(&net, both, share), .0020841, 5.1e-8, "alarm: evidence");
	near(marginal(share, 8, 0), .2841718, 5.1e-8, "alarm: burglar");
	near(marginal(share, 8, 1), .1760668, 5.1e-8, "alarm: earthquake");
	dk_mix_weigh(&net, rings, share);
	near(marginal(share, 8, 0), .3735512, 5.1e-8, "alarm: rings");
	dk_mix_weigh(&net, shakes, share);
	near(marginal(share, 8, 0), .0032684, 5.1e-8, "alarm: explained away");
}

// ---- two adders and three multipliers. de Kleer and Williams, Artificial Intelligence 32 (1987) 97
static void test_circuit(void **unused)
{
	(void)unused;
	enum
	{
		A1,
		A2,
		M1,
		M2,
		M3
	};
	static const struct
	{
		double fault, alone, a1, m2, a2;
		double evidence;
	} row[] = {
		{ .01, .478026, .497635, .019609, .014780, .02009504 },
		{ .05, .399661, .490679, .091018, .069983, NAN },
	};
	for (int r = 0; r < COUNT(row); ++r)
	{
		double prior[32], fits[64], share[32];
		for (int s = 0; s < 32; ++s)
		{
			prior[s] = 1;
			for (int k = 0; k < 5; ++k) prior[s] *= s >> k & 1 ? row[r].fault : 1 - row[r].fault;
			const int first = 1 << A1 | 1 << M1 | 1 << M2, second = 1 << A1 | 1 << A2 | 1 << M1 | 1 << M3;
			fits[2 * s + 1] = (s & first) && (s & second);
			fits[2 * s] = 1 - fits[2 * s + 1];
		}
		const int answers[] = { 2 }, seen[] = { 1 };
		const double *const chance[] = { fits };
		const dk_mix_states net = { 32, 1, prior, answers, chance };
		const double evidence = dk_mix_weigh(&net, seen, share);
		if (!isnan(row[r].evidence)) near(evidence, row[r].evidence, 5.1e-9, "circuit: evidence");
		near(share[1 << A1], row[r].alone, PRINTED, "circuit: one adder alone");
		near(share[1 << M1], row[r].alone, PRINTED, "circuit: one multiplier alone");
		near(marginal(share, 32, A1), row[r].a1, PRINTED, "circuit: A1");
		near(marginal(share, 32, M2), row[r].m2, PRINTED, "circuit: M2");
		near(marginal(share, 32, A2), row[r].a2, PRINTED, "circuit: A2");
		near(marginal(share, 32, M3), row[r].a2, PRINTED, "circuit: M3");
	}
}

// ---- information: closed forms
static void test_bits(void **unused)
{
	(void)unused;
	const double p = .5, e = .1;
	const double joint[4] = { p * (1 - e), p * e, (1 - p) * e, (1 - p) * (1 - e) };
	near(dk_mix_bits(joint, 2, 2), .531004, PRINTED, "a test that errs in a tenth");
	const double useless[6] = { .3, .1, .2, .15, .05, .1 };
	near(dk_mix_bits(useless, 2, 3), 0, 1e-15, "a test that tells nothing");
}

// Members that answer with certainty: what is taken off is (K-1)(B-1)/(2 N ln 2).
static void test_bias(void **unused)
{
	(void)unused;
	enum
	{
		K = 4,
		B = 3,
		EACH = 500
	};
	double joint[K * B], spread[K * B];
	static const double p[B] = { .5, .3, .2 };
	for (int k = 0; k < K; ++k)
		for (int a = 0; a < B; ++a)
		{
			// one class differs, so that there is something to take it off from
			const double here = EACH * p[a] + (k == 0 && a == 0 ? 60 : k == 0 && a == 1 ? -60 : 0);
			joint[k * B + a] = here;
			spread[k * B + a] = dk_mix_spread(EACH, here, EACH, here, here);
		}
	const double bits = dk_mix_bits(joint, K, B), bias = (K - 1.0) * (B - 1.0) / (2.0 * K * EACH * M_LN2);
	near(bits - dk_mix_bits_corrected(joint, spread, K, B), bias, 0.05 * bias, "bias of certain answers");

	// members that all give the same chances: nothing to take off, and nothing told
	double same[K * B], none[K * B] = { 0 };
	for (int i = 0; i < K * B; ++i) same[i] = p[i % B];
	assert_true(dk_mix_bits_corrected(same, none, K, B) == 0);
	near(dk_mix_spread(10, 3, 10, 3, 0.9), 0, 1e-15, "no spread");
}

// Pure noise: each member answers at random, whatever its class. What is left after the correction is about
// nothing on the mean, and a tenth of what the plug-in shows.
static void test_noise(void **unused)
{
	(void)unused;
	enum
	{
		K = 6,
		B = 5,
		EACH = 20,
		TRIALS = 300
	};
	const dk_stream stream = dk_stream_of(1, "noise");
	double plain = 0, left = 0;
	for (int t = 0; t < TRIALS; ++t)
	{
		double joint[K * B] = { 0 }, ww[K * B] = { 0 }, spread[K * B];
		for (int i = 0; i < K * EACH; ++i)
		{
			const int k = i % K, a = (int)(B * dk_stream_uniform(stream, (uint32_t)i, (uint32_t)t));
			joint[k * B + a] += 1;
			ww[k * B + a] += 1;
		}
		for (int i = 0; i < K * B; ++i) spread[i] = dk_mix_spread(EACH, joint[i], EACH, ww[i], ww[i]);
		plain += dk_mix_bits(joint, K, B) / TRIALS;
		left += dk_mix_bits_corrected(joint, spread, K, B) / TRIALS;
	}
	assert_true(plain > 0.1);
	assert_true(left < 0.25 * plain); // it is never below nothing, so the mean of what is left is above it
}

static void test_shares(void **unused)
{
	(void)unused;
	double log_weight[3] = { log(1), log(2), -INFINITY }, share[3];
	near(dk_mix_shares(log_weight, 3, share), log(3), 1e-15, "sum");
	near(share[1], 2.0 / 3, 1e-15, "share");
	assert_true(share[2] == 0);
	for (int i = 0; i < 3; ++i) log_weight[i] -= 2000;
	near(dk_mix_shares(log_weight, 3, share), log(3) - 2000, 1e-12, "far down");
	near(share[0], 1.0 / 3, 1e-12, "share far down"); // a logarithm of 2000 is held to 2e-13
	const double weight[5] = { .05, .20, .10, .40, .25 };
	near(dk_mix_effective(weight, 5), 3.636364, PRINTED, "effective members");
}

int main(void)
{
	const struct CMUnitTest tests[] = { cmocka_unit_test(test_car_start), cmocka_unit_test(test_clinic),
		cmocka_unit_test(test_clinic_next), cmocka_unit_test(test_alarm), cmocka_unit_test(test_circuit),
		cmocka_unit_test(test_bits), cmocka_unit_test(test_bias), cmocka_unit_test(test_noise),
		cmocka_unit_test(test_shares) };
	return cmocka_run_group_tests(tests, NULL, NULL);
}
