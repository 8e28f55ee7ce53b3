#pragma once
// Views: the virtual engines of a bank as a set of lenses sees them, laid out for the arithmetic of weigh.h.
// A pose is one engine of a view; the pose of a pair is composed from two views.
#include "base/arena.h"
#include "infer/lens.h"
#include "population/bank.h"

// How a view scales the bank's air and sea columns.
typedef struct dk_view_scale
{
	double air, sea;
} dk_view_scale;

// One stratum through one set of lenses. Arrays are [latent][n] unless said.
typedef struct dk_view
{
	const dk_stratum *stratum;
	int n;
	double *t;             // the latent's value; of an engine that did not settle, between its neighbours
	float *j;              // [latent][2][7][n] slope of the latent, side 0 for z < 0, side 1 for z > 0
	unsigned char *status; // dk_point_status
	double *bias, *offset; // spread of the gauge's bias and of the system's offset on the latent
	double *well;          // [latent] t(h) of the healthy engine
	double *parameter;     // [parameter][n]
	const struct dk_view *healthy; // the view of the healthy engine, n = 1 (itself, when this is it)
} dk_view;

// Engine of a view, or composed pair: as the lenses see it.
typedef struct dk_pose
{
	double *t;             // [latent]
	double *j;             // [latent][2][7]
	double *bias, *offset; // [latent] spread of the gauge's bias and of the system's offset on the latent
	unsigned char *status; // [latent]
	double *parameter;     // [parameter]
} dk_pose;

// The view of one stratum of one fault, or of the healthy one (`healthy` NULL then).
dk_view *dk_view_of(const dk_bank *bank, const dk_stratum *stratum, const dk_view *healthy,
    const dk_catalog *catalog, const dk_optics *optics, dk_view_scale scale, dk_arena *arena);

dk_pose *dk_pose_new(const dk_optics *optics, dk_arena *arena);

// Fills a pose with engine i of a view.
void dk_pose_single(const dk_optics *optics, const dk_view *view, int i, dk_pose *pose);

/// Fills a pose with two faults at severities s_a, s_b: x_a + x_b - x_healthy in transformed values, slopes
/// likewise. Given:   simulated   [DK_POINT_COUNT][DK_READING_COUNT][n] of a simulated pair, engine i of it;
/// NULL: composed Source:  contract, Priors and strata
void dk_pose_pair(const dk_bank *bank, const dk_optics *optics, const dk_view *a, const dk_view *b,
    const double severity[2], const dk_stratum *simulated, int i, dk_pose *pose);
