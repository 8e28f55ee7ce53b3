#pragma once
// Cylinder volume from the slider crank, and the surface that takes heat.
#include "engine/defs.h"
#include "num/real.h"

#define DK_PI 3.14159265358979323846

typedef struct dk_geometry
{
	dk_real piston_m2, clearance_m3, swept_m3;
	dk_real crank_m, rod_m;       // half the stroke; rod between centres
	dk_real fixed_m2, per_m3;     // wall area = fixed + per_m3 x volume
	dk_real piston_m_s_per_rad_s; // mean piston speed over engine speed
} dk_geometry;

/// Source: [HEY88 2.4, 2.5]; wall area = chamber_area_factor (2 pi B^2/4 + 4 V/B).
static inline dk_geometry dk_geometry_of(const dk_cylinder_def *def, dk_real extra_m3)
{
	dk_geometry g;
	g.piston_m2 = DK_PI / 4 * def->bore_m * def->bore_m;
	g.swept_m3 = g.piston_m2 * def->stroke_m;
	g.clearance_m3 = g.swept_m3 / (def->compression_ratio - 1) + extra_m3;
	g.crank_m = def->stroke_m / 2;
	g.rod_m = def->rod_m;
	g.fixed_m2 = def->chamber_area_factor * 2 * g.piston_m2;
	g.per_m3 = def->chamber_area_factor * 4 / def->bore_m;
	g.piston_m_s_per_rad_s = def->stroke_m / DK_PI;
	return g;
}

/// Volume [m3] at a crank angle given by its cosine and sine.
static inline dk_real dk_geometry_volume(const dk_geometry *g, double cosine, double sine)
{
	const dk_real side = g->crank_m * sine;
	const dk_real reach = g->crank_m * cosine + dk_sqrt(g->rod_m * g->rod_m - side * side);
	return g->clearance_m3 + g->piston_m2 * (g->rod_m + g->crank_m - reach);
}
