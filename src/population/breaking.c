#include "population/breaking.h"
#include "base/hash.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

enum
{
	MOST_BROKEN = 8 // faults of one engine
};

// ---------------------------------------------------------------- joining with the parameter table

static dk_breaking *breaking_new(int count)
{
	dk_breaking *breaking = calloc(1, sizeof *breaking);
	if (!breaking) return NULL;
	breaking->fault = calloc(count > 0 ? (size_t)count : 1, sizeof *breaking->fault);
	breaking->count = breaking->fault ? count : 0;
	if (breaking->fault) return breaking;
	dk_breaking_free(breaking);
	return NULL;
}

void dk_breaking_free(dk_breaking *breaking)
{
	if (!breaking) return;
	for (int f = 0; f < breaking->count; ++f)
	{
		free(breaking->fault[f].id);
		free(breaking->fault[f].shift);
	}
	free(breaking->fault);
	free(breaking);
}

// what the physics of a bank depends on, and no word more: a new name or prior leaves a bank as it is
static uint64_t hash_of(const dk_breaking *breaking)
{
	uint64_t hash = dk_hash_int(DK_HASH_START, breaking->count);
	for (int f = 0; f < breaking->count; ++f)
	{
		const dk_breakage *fault = &breaking->fault[f];
		hash = dk_hash_text(hash, fault->id);
		hash = dk_hash_int(hash, fault->system);
		hash = dk_hash_int(hash, fault->cylinders);
		hash = dk_hash_int(hash, fault->shift_count);
		for (int i = 0; i < fault->shift_count; ++i)
		{
			hash = dk_hash_text(hash, dk_param_info[fault->shift[i].parameter].id);
			hash = dk_hash_int(hash, fault->shift[i].how);
			hash = dk_hash_int(hash, fault->shift[i].curve);
			hash = dk_hash_double(hash, fault->shift[i].to);
		}
	}
	return hash;
}

// a complaint about a row of the catalogue, with its place
static dk_status complain(
    dk_error *error, dk_status status, const dk_fault *row, dk_mark mark, const char *what, const char *name)
{
	dk_error_set(error, status, what, row->id, name);
	dk_error_field(error, row->id);
	return dk_error_at(error, mark.file, mark.line, mark.column), status;
}

static dk_status unknown_parameter(dk_error *error, const dk_fault *row, const dk_move *move)
{
	const char *names[DK_PARAM_COUNT];
	for (int p = 0; p < DK_PARAM_COUNT; ++p) names[p] = dk_param_info[p].id;
	complain(error, DK_UNKNOWN_NAME, row, move->mark, "the fault '%s' moves '%s', which is no parameter",
	    move->parameter);
	dk_error_nearest(error, move->parameter, names, DK_PARAM_COUNT);
	return DK_UNKNOWN_NAME;
}

static dk_status join_fault(const dk_fault *row, dk_breakage *fault, dk_error *error)
{
	fault->id = strdup(row->id);
	fault->shift = calloc(row->move_count > 0 ? (size_t)row->move_count : 1, sizeof *fault->shift);
	if (!fault->id || !fault->shift)
		return dk_error_set(error, DK_NO_MEMORY, "no memory for the faults"), DK_NO_MEMORY;
	fault->system = row->system;
	fault->cylinders = row->cylinders;

	bool per_class = false;
	for (int i = 0; i < row->move_count; ++i)
	{
		const dk_move *move = &row->move[i];
		const int parameter = dk_param_find(move->parameter);
		if (parameter < 0) return unknown_parameter(error, row, move);
		const int twin = dk_param_info[parameter].twin;
		if (twin >= 0 && twin < parameter)
			return complain(error, DK_BAD_INPUT, row, move->mark,
			    "the fault '%s' moves '%s', but the .b row is "
			    "chosen by 'cylinders'",
			    move->parameter);
		per_class = per_class || twin >= 0;
		fault->shift[fault->shift_count++] = (dk_shift){ parameter, move->how, move->curve, move->to };
	}

	// a fault of some cylinders that changes no cylinder would fill a stratum for each count with the same
	// engines
	if (fault->cylinders != DK_CYLINDERS_ALL && !per_class)
		return complain(error, DK_BAD_INPUT, row, row->mark,
		    "the fault '%s' is said to be in %s cylinders, but moves "
		    "nothing that differs between cylinders",
		    "some");
	return DK_OK;
}

dk_status dk_breaking_open(const dk_catalog *catalog, dk_breaking **out, dk_error *error)
{
	dk_breaking *breaking = breaking_new(catalog->fault_count);
	if (!breaking) return dk_error_set(error, DK_NO_MEMORY, "no memory for the faults"), DK_NO_MEMORY;
	dk_status status = DK_OK;
	for (int f = 0; f < catalog->fault_count && status == DK_OK; ++f)
	{
		const dk_fault *row = &catalog->fault[f];
		if (f > 0 && strcmp(catalog->fault[f - 1].id, row->id) >= 0)
			status = complain(error, DK_BAD_INPUT, row, row->mark,
			    "the fault '%s' stands after '%s': not in order of id", catalog->fault[f - 1].id);
		else
			status = join_fault(row, &breaking->fault[f], error);
	}
	if (status != DK_OK)
	{
		dk_breaking_free(breaking);
		return status;
	}
	breaking->hash = hash_of(breaking);
	*out = breaking;
	return DK_OK;
}

void dk_breaking_left_out(const dk_catalog *catalog, const dk_installation *boat, unsigned char *left_out)
{
	for (int f = 0; f < catalog->fault_count; ++f)
		left_out[f] = !dk_when_holds(&catalog->fault[f].fitted, boat);
}

// ---------------------------------------------------------------- copies

// fault f of the copy gets the moves and cylinders of fault moves_of(f)
static dk_breaking *copy_with(const dk_breaking *from, int (*moves_of)(const dk_breaking *, int))
{
	dk_breaking *copy = breaking_new(from->count);
	for (int f = 0; copy && f < from->count; ++f)
	{
		const dk_breakage *source = &from->fault[moves_of(from, f)];
		dk_breakage *fault = &copy->fault[f];
		const size_t count = source->shift_count > 0 ? (size_t)source->shift_count : 1;
		*fault = (dk_breakage){ .id = strdup(from->fault[f].id),
			.system = from->fault[f].system,
			.cylinders = source->cylinders,
			.shift_count = source->shift_count,
			.shift = malloc(count * sizeof *fault->shift) };
		if (!fault->id || !fault->shift)
		{
			dk_breaking_free(copy);
			return NULL;
		}
		memcpy(fault->shift, source->shift, (size_t)source->shift_count * sizeof *fault->shift);
	}
	if (copy) copy->hash = hash_of(copy);
	return copy;
}

static int itself(const dk_breaking *breaking, int fault)
{
	(void)breaking;
	return fault;
}

int dk_breaking_partner(const dk_breaking *breaking, int fault)
{
	// the next one of the system, round the end
	for (int i = 1; i <= breaking->count; ++i)
	{
		const int other = (fault + i) % breaking->count;
		if (breaking->fault[other].system == breaking->fault[fault].system) return other;
	}
	return fault;
}

dk_breaking *dk_breaking_copy(const dk_breaking *breaking)
{
	return copy_with(breaking, itself);
}

dk_breaking *dk_breaking_exchange(const dk_breaking *breaking)
{
	return copy_with(breaking, dk_breaking_partner);
}

int dk_breaking_find(const dk_breaking *breaking, const char *id)
{
	for (int f = 0; f < breaking->count; ++f)
		if (!strcmp(breaking->fault[f].id, id)) return f;
	return -1;
}

// ---------------------------------------------------------------- breaking an engine

// f(s) of the contract
static double curve_at(dk_curve curve, double s)
{
	switch (curve)
	{
	case DK_CURVE_SQUARE: return s * s;
	case DK_CURVE_LOG: return expm1(4 * s) / expm1(4);
	default: return s;
	}
}

static double shifted(const dk_shift *shift, double p, double s)
{
	const double f = curve_at(shift->curve, s);
	switch (shift->how)
	{
	case DK_HOW_TIMES:
		return shift->curve == DK_CURVE_LOG ? p * pow(shift->to, s) : p * (1 + f * (shift->to - 1));
	case DK_HOW_ADD: return p + shift->to * f;
	default: return p + (shift->to - p) * f;
	}
}

static double held(int parameter, double value)
{
	return fmin(fmax(value, dk_param_info[parameter].low), dk_param_info[parameter].high);
}

// one sentence for what is wrong with one fault of an engine; DK_OK when nothing is
static dk_status check_one(
    const dk_breaking *breaking, const dk_broken *broken, double cylinders, dk_error *error)
{
	const dk_breakage *fault = &breaking->fault[broken->fault];
	dk_status status = DK_OK;
	if (!(broken->severity >= 0 && broken->severity <= 1))
	{
		dk_error_set(error, DK_OUT_OF_RANGE, "the severity of %s is %g", fault->id, broken->severity);
		dk_error_range(error, 0, 1, "");
		status = DK_OUT_OF_RANGE;
	}
	else if (broken->hit_count < 0 || broken->hit_count > cylinders)
	{
		dk_error_set(
		    error, DK_OUT_OF_RANGE, "%s is said to be in %d cylinders", fault->id, broken->hit_count);
		dk_error_range(error, 1, cylinders, "cylinders");
		status = DK_OUT_OF_RANGE;
	}
	else if (broken->hit_count > 0 && fault->cylinders == DK_CYLINDERS_ALL)
	{
		dk_error_set(
		    error, DK_CONTRADICTION, "%s is in all cylinders, so it takes no number of them", fault->id);
		status = DK_CONTRADICTION;
	}
	else if (broken->hit_count > 1 && fault->cylinders == DK_CYLINDERS_ONE)
	{
		dk_error_set(
		    error, DK_CONTRADICTION, "%s is in one cylinder, not in %d", fault->id, broken->hit_count);
		status = DK_CONTRADICTION;
	}
	if (status != DK_OK) dk_error_field(error, fault->id);
	return status;
}

// sorts by fault, checks everything, and finds how many cylinders are hit (0 = none said)
static dk_status check_all(const dk_breaking *breaking, dk_broken *broken, int count, double cylinders,
    int *hit_count, dk_error *error)
{
	// few of them: insertion keeps it plain
	for (int i = 1; i < count; ++i)
		for (int j = i; j > 0 && broken[j].fault < broken[j - 1].fault; --j)
		{
			const dk_broken swap = broken[j];
			broken[j] = broken[j - 1];
			broken[j - 1] = swap;
		}
	*hit_count = 0;
	for (int i = 0; i < count; ++i)
	{
		const dk_breakage *fault = &breaking->fault[broken[i].fault];
		const dk_status status = check_one(breaking, &broken[i], cylinders, error);
		if (status != DK_OK) return status;
		if (i > 0 && broken[i].fault == broken[i - 1].fault)
		{
			dk_error_set(error, DK_CONTRADICTION, "%s is given twice", fault->id);
			return dk_error_field(error, fault->id), DK_CONTRADICTION;
		}
		if (broken[i].hit_count == 0 && fault->cylinders != DK_CYLINDERS_ONE) continue;

		// a fault of one cylinder says one; all that say a number must say the same
		const int says = broken[i].hit_count ? broken[i].hit_count : 1;
		if (*hit_count != 0 && *hit_count != says)
		{
			dk_error_set(error, DK_CONTRADICTION,
			    "%s is said to be in %d cylinders and another fault in %d; all "
			    "such faults of an engine are in the same cylinders",
			    fault->id, says, *hit_count);
			return dk_error_field(error, fault->id), DK_CONTRADICTION;
		}
		*hit_count = says;
	}
	return DK_OK;
}

// all moves of one kind, in order of fault id
static void move_all(
    const dk_breaking *breaking, const dk_broken *broken, int count, dk_how how, double *param, bool *moved)
{
	for (int i = 0; i < count; ++i)
	{
		if (broken[i].severity == 0) continue;
		const dk_breakage *fault = &breaking->fault[broken[i].fault];
		for (int k = 0; k < fault->shift_count; ++k)
		{
			const dk_shift *shift = &fault->shift[k];
			if (shift->how != how) continue;
			const int twin = dk_param_info[shift->parameter].twin;
			if (twin < 0 || fault->cylinders == DK_CYLINDERS_ALL)
			{
				param[shift->parameter] = shifted(shift, param[shift->parameter], broken[i].severity);
				moved[shift->parameter] = true;
			}
			if (twin >= 0)
			{
				param[twin] = shifted(shift, param[twin], broken[i].severity);
				moved[twin] = true;
			}
		}
	}
}

dk_status dk_breaking_apply(
    const dk_breaking *breaking, const dk_broken *broken, int count, double *param, dk_error *error)
{
	dk_broken sorted[MOST_BROKEN];
	if (count > MOST_BROKEN)
	{
		dk_error_set(error, DK_CONTRADICTION, "%d faults are given for one engine", count);
		return dk_error_range(error, 0, MOST_BROKEN, "faults"), DK_CONTRADICTION;
	}
	if (count > 0) memcpy(sorted, broken, (size_t)count * sizeof *sorted);
	int hit_count;
	const dk_status status =
	    check_all(breaking, sorted, count, param[DK_PARAM_cylinder_count], &hit_count, error);
	if (status != DK_OK) return status;

	bool moved[DK_PARAM_COUNT] = { false };
	move_all(breaking, sorted, count, DK_HOW_TIMES, param, moved);
	move_all(breaking, sorted, count, DK_HOW_ADD, param, moved);
	move_all(breaking, sorted, count, DK_HOW_SET, param, moved);
	for (int p = 0; p < DK_PARAM_COUNT; ++p)
		if (moved[p]) param[p] = held(p, param[p]);

	// severity 0 is a healthy engine, so no class of hit cylinders either
	for (int i = 0; i < count; ++i)
		if (sorted[i].severity > 0 && breaking->fault[sorted[i].fault].cylinders != DK_CYLINDERS_ALL)
			param[DK_PARAM_cylinder_hit_count] = hit_count ? hit_count : 1;
	return DK_OK;
}

void dk_breaking_spread(double *param, int group, double z, bool fitted)
{
	if (group < DK_Z_LOAD || group >= DK_Z_COUNT) return;
	for (int p = 0; p < DK_PARAM_COUNT; ++p)
	{
		const dk_param_row *row = &dk_param_info[p];
		const double spread = fitted ? row->spread_fitted : row->spread_plate;
		if (row->z_group == group && spread != 0) param[p] = held(p, param[p] + z * spread);
	}
}
