// Bank engines through lenses: see view.h.
#include "infer/view.h"
#include "engine/tables.h"
#include "population/bank_pair.h"
#include <math.h>
#include <string.h>

// ---- one latent of one stratum

// What was seen earlier was seen at half the severity, and on a healthy engine where the fault came at once.
static double severity_then(const dk_stratum *stratum, const dk_catalog *catalog, bool half, double severity)
{
	if (!half || stratum->fault_count == 0) return severity;
	return catalog->fault[stratum->fault[0]].onset_kind == DK_ONSET_SUDDEN ? 0 : 0.5 * severity;
}

// Slopes of the healthy engine along what changes with the day are no part of "as it was".
static void slopes(const dk_bank *bank, const dk_stratum *stratum, int engine, const dk_latent *latent,
    dk_view_scale scale, double out[2][DK_Z_RUN])
{
	const dk_stratum *well = &bank->stratum[0];
	for (int side = 0; side < 2; ++side)
	{
		double x[DK_Z_COUNT] = { 0 }, h[DK_Z_COUNT] = { 0 };
		if (latent->kind != DK_LATENT_HEALTHY && stratum->jac)
			dk_bank_jac(bank, stratum, engine, latent->point, latent->reading, side, x);
		if (latent->kind != DK_LATENT_VALUE && well->jac)
			dk_bank_jac(bank, well, 0, latent->point, latent->reading, side, h);
		h[DK_Z_AIR_TEMPERATURE] = h[DK_Z_SEA_TEMPERATURE] = 0;
		for (int z = 0; z < DK_Z_RUN; ++z)
			out[side][z] = latent->kind == DK_LATENT_HEALTHY ? h[z] : x[z] - h[z];
		out[side][DK_Z_AIR_TEMPERATURE] *= scale.air;
		out[side][DK_Z_SEA_TEMPERATURE] *= scale.sea;
	}
}

static double healthy_value(const dk_bank *bank, const dk_latent *latent)
{
	return dk_reading_transform(
	    latent->reading, dk_stratum_reading(&bank->stratum[0], latent->point, latent->reading, 0));
}

// Stopped, the engine is always where it is looked at: nobody has to get the key on, and a starter that turns
// nothing is seen to turn nothing. Where it can't run it stops at once, and that much can be seen of it.
static bool always_seen(const dk_latent *latent)
{
	return latent->point == DK_POINT_key_on || latent->point == DK_POINT_cold_crank ||
	       latent->point == DK_POINT_stopped_hot || latent->reading == DK_READING_minutes_to_stop;
}

static bool stops_at_once(const dk_latent *latent, int status)
{
	return status == DK_NOT_REACHED && latent->reading == DK_READING_minutes_to_stop;
}

static unsigned char as_seen(const dk_latent *latent, int status)
{
	return (unsigned char)(status == DK_NOT_REACHED && always_seen(latent) ? DK_REACHED : status);
}

static double latent_value(const dk_bank *bank, const dk_stratum *stratum, const dk_catalog *catalog,
    int engine, const dk_latent *latent)
{
	const double h = healthy_value(bank, latent);
	if (latent->kind == DK_LATENT_HEALTHY) return h;
	double x = h;
	if (!latent->half && stops_at_once(latent, dk_stratum_status(stratum, latent->point, engine)))
		return dk_reading_transform(latent->reading, 0) - (latent->kind == DK_LATENT_DIFFERENCE ? h : 0);
	const bool settled = dk_stratum_status(stratum, latent->point, engine) != DK_NOT_SETTLED;
	if (stratum->fault_count > 0 && settled && !latent->half)
		x = dk_reading_transform(
		    latent->reading, dk_stratum_reading(stratum, latent->point, latent->reading, engine));
	else if (stratum->fault_count > 0)
		x = dk_bank_at(bank, stratum, latent->point, latent->reading,
		    severity_then(stratum, catalog, latent->half, stratum->severity[3 * engine]));
	return latent->kind == DK_LATENT_DIFFERENCE ? x - h : x;
}

static unsigned char latent_status(const dk_bank *bank, const dk_stratum *stratum, const dk_catalog *catalog,
    int engine, const dk_latent *latent)
{
	if (latent->kind == DK_LATENT_HEALTHY) return DK_REACHED;
	unsigned char status = (unsigned char)dk_stratum_status(stratum, latent->point, engine);
	if (latent->half && stratum->fault_count > 0)
	{
		const double s = severity_then(stratum, catalog, true, stratum->severity[3 * engine]);
		const int then = (int)floor(s * stratum->n);
		status = s <= 0 ? (unsigned char)dk_stratum_status(&bank->stratum[0], latent->point, 0)
		                : (unsigned char)dk_stratum_status(
		                      stratum, latent->point, then < stratum->n ? then : stratum->n - 1);
		if (status == DK_NOT_SETTLED) status = DK_REACHED;
	}
	return as_seen(latent, status);
}

// Bias and offset of one latent: those of what is shown, less those of the healthy engine for a difference.
static void errors(const dk_latent *latent, double t, double healthy, double *bias, double *offset)
{
	const dk_reading_row *info = &dk_reading_info[latent->reading];
	const bool difference = latent->kind == DK_LATENT_DIFFERENCE;
	const double x = dk_reading_restore(latent->reading, difference ? healthy + t : t);
	*bias = dk_lens_spread(latent->reading, x, info->bias_sd);
	*offset = dk_lens_spread(latent->reading, x, info->model_sd);
	if (!difference) return;
	const double h = dk_reading_restore(latent->reading, healthy);
	*bias -= dk_lens_spread(latent->reading, h, info->bias_sd);
	*offset -= dk_lens_spread(latent->reading, h, info->model_sd);
}

static void fill_latent(const dk_bank *bank, const dk_catalog *catalog, const dk_latent *latent, int l,
    dk_view_scale scale, dk_view *view)
{
	const int n = view->n;
	view->well[l] = healthy_value(bank, latent);
	for (int i = 0; i < n; ++i)
	{
		double j[2][DK_Z_RUN];
		int then = i;
		const dk_stratum *stratum = view->stratum;
		if (latent->half && stratum->fault_count > 0)
		{
			const double s = severity_then(stratum, catalog, true, stratum->severity[3 * i]);
			then = (int)fmin(floor(s * n), n - 1);
			if (s <= 0) stratum = &bank->stratum[0];
		}
		slopes(bank, stratum, stratum == view->stratum ? then : 0, latent, scale, j);
		view->t[l * n + i] = latent_value(bank, view->stratum, catalog, i, latent);
		view->status[l * n + i] = latent_status(bank, view->stratum, catalog, i, latent);
		errors(latent, view->t[l * n + i], view->well[l], &view->bias[l * n + i], &view->offset[l * n + i]);
		for (int side = 0; side < 2; ++side)
			for (int z = 0; z < DK_Z_RUN; ++z)
				view->j[((l * 2 + side) * DK_Z_RUN + z) * n + i] = (float)j[side][z];
	}
}

// A parameter as it is looked at: of the hit cylinders, where there are any.
static double by_eye(const double *param, int parameter)
{
	const int twin = dk_param_info[parameter].twin;
	return twin > parameter && param[DK_PARAM_cylinder_hit_count] > 0 ? param[twin] : param[parameter];
}

dk_view *dk_view_of(const dk_bank *bank, const dk_stratum *stratum, const dk_view *healthy,
    const dk_catalog *catalog, const dk_optics *optics, dk_view_scale scale, dk_arena *arena)
{
	dk_view *view = dk_arena_take(arena, sizeof *view);
	const int n = view->n = stratum->n;
	const size_t cells = (size_t)optics->latent_count * (size_t)n;
	view->stratum = stratum;
	view->healthy = healthy ? healthy : view;
	view->t = dk_arena_array(arena, cells + 1, sizeof *view->t);
	view->j = dk_arena_array(arena, cells * 2 * DK_Z_RUN + 1, sizeof *view->j);
	view->status = dk_arena_array(arena, cells + 1, 1);
	view->bias = dk_arena_array(arena, cells + 1, sizeof *view->bias);
	view->offset = dk_arena_array(arena, cells + 1, sizeof *view->offset);
	view->well = dk_arena_array(arena, (size_t)optics->latent_count + 1, sizeof *view->well);
	view->parameter =
	    dk_arena_array(arena, (size_t)(optics->parameter_count * n) + 1, sizeof *view->parameter);
	for (int l = 0; l < optics->latent_count; ++l)
		fill_latent(bank, catalog, &optics->latent[l], l, scale, view);
	double param[DK_PARAM_COUNT];
	for (int i = 0; i < n && optics->parameter_count > 0; ++i)
	{
		dk_bank_engine(bank, stratum, i, param);
		for (int p = 0; p < optics->parameter_count; ++p)
			view->parameter[p * n + i] = by_eye(param, optics->parameter[p]);
	}
	return view;
}

// ---- poses

dk_pose *dk_pose_new(const dk_optics *optics, dk_arena *arena)
{
	const size_t n = (size_t)optics->latent_count + 1;
	dk_pose *pose = dk_arena_take(arena, sizeof *pose);
	pose->t = dk_arena_array(arena, n, sizeof(double));
	pose->j = dk_arena_array(arena, n * 2 * DK_Z_RUN, sizeof(double));
	pose->bias = dk_arena_array(arena, n, sizeof(double));
	pose->offset = dk_arena_array(arena, n, sizeof(double));
	pose->status = dk_arena_array(arena, n, 1);
	pose->parameter = dk_arena_array(arena, (size_t)optics->parameter_count + 1, sizeof(double));
	return pose;
}

void dk_pose_single(const dk_optics *optics, const dk_view *view, int i, dk_pose *pose)
{
	const int n = view->n;
	for (int l = 0; l < optics->latent_count; ++l)
	{
		pose->t[l] = view->t[l * n + i];
		pose->status[l] = view->status[l * n + i];
		pose->bias[l] = view->bias[l * n + i];
		pose->offset[l] = view->offset[l * n + i];
		for (int c = 0; c < 2 * DK_Z_RUN; ++c)
			pose->j[l * 2 * DK_Z_RUN + c] = view->j[(l * 2 * DK_Z_RUN + c) * n + i];
	}
	for (int p = 0; p < optics->parameter_count; ++p) pose->parameter[p] = view->parameter[p * n + i];
}

// Where a severity stands between the engines of a stratum: engine `at` and the share of the next; -1 is the
// healthy one.
static int place(const dk_view *view, double severity, double *share)
{
	const double position = severity * view->n - 0.5;
	int at = (int)floor(position);
	if (at > view->n - 2) at = view->n - 2;
	*share = fmin(position - at, 1);
	if (at < 0)
	{
		at = -1;
		*share = fmin(2 * severity * view->n, 1);
	}
	return at;
}

static double between(double low, double high, double share)
{
	return low + (high - low) * share;
}

static unsigned char worse(unsigned char a, unsigned char b)
{
	if (a == DK_NOT_REACHED || b == DK_NOT_REACHED) return DK_NOT_REACHED;
	return a == DK_NOT_SETTLED || b == DK_NOT_SETTLED ? DK_NOT_SETTLED : DK_REACHED;
}

static void pose_sum(const dk_optics *optics, const dk_view *const view[2], const int at[2],
    const double share[2], dk_pose *pose)
{
	const dk_view *well = view[0]->healthy;
	for (int l = 0; l < optics->latent_count; ++l)
	{
		double t = well->t[l];
		unsigned char status = DK_REACHED;
		for (int k = 0; k < 2; ++k)
		{
			const int n = view[k]->n, low = at[k], near = share[k] < 0.5 && low >= 0 ? low : low + 1;
			const double *row = &view[k]->t[l * n];
			t += between(low < 0 ? well->t[l] : row[low], row[low + 1], share[k]) - well->t[l];
			status = worse(status, view[k]->status[l * n + near]);
		}
		pose->t[l] = t;
		pose->status[l] = status;
		for (int c = 0; c < 2 * DK_Z_RUN; ++c)
		{
			const double h = well->j[l * 2 * DK_Z_RUN + c];
			double j = h;
			for (int k = 0; k < 2; ++k)
			{
				const float *row = &view[k]->j[(l * 2 * DK_Z_RUN + c) * view[k]->n];
				j += between(at[k] < 0 ? h : row[at[k]], row[at[k] + 1], share[k]) - h;
			}
			pose->j[l * 2 * DK_Z_RUN + c] = j;
		}
	}
}

void dk_pose_pair(const dk_bank *bank, const dk_optics *optics, const dk_view *a, const dk_view *b,
    const double severity[2], const dk_stratum *simulated, int i, dk_pose *pose)
{
	const dk_view *const view[2] = { a, b };
	double share[2];
	const int at[2] = { place(a, severity[0], &share[0]), place(b, severity[1], &share[1]) };
	pose_sum(optics, view, at, share, pose);

	// simulated readings stand in for the sums, at the severity of now
	for (int l = 0; l < optics->latent_count && simulated; ++l)
	{
		const dk_latent *latent = &optics->latent[l];
		if (latent->half || latent->kind == DK_LATENT_HEALTHY) continue;
		const int status = dk_stratum_status(simulated, latent->point, i);
		const double x = dk_reading_transform(latent->reading,
		    stops_at_once(latent, status) ? 0
		                                  : dk_stratum_reading(simulated, latent->point, latent->reading, i));
		pose->t[l] = latent->kind == DK_LATENT_DIFFERENCE ? x - a->well[l] : x;
		pose->status[l] = as_seen(latent, status);
	}

	// parameters by eye: both faults in one engine
	float both[3] = { (float)severity[0], (float)severity[1], 0 };
	dk_stratum pair = { .fault = { a->stratum->fault[0], b->stratum->fault[0], 0 },
		.fault_count = 2,
		.n = 1,
		.hit_count =
		    a->stratum->hit_count > b->stratum->hit_count ? a->stratum->hit_count : b->stratum->hit_count,
		.severity = both,
		.part = { -1, -1 } };
	double param[DK_PARAM_COUNT];
	if (optics->parameter_count > 0) dk_bank_engine(bank, &pair, 0, param);
	for (int p = 0; p < optics->parameter_count; ++p)
		pose->parameter[p] = by_eye(param, optics->parameter[p]);
	for (int l = 0; l < optics->latent_count; ++l)
		errors(&optics->latent[l], pose->t[l], a->well[l], &pose->bias[l], &pose->offset[l]);
}
