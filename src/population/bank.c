#include "population/bank.h"
#include "base/hash.h"
#include "population/bank_store.h"
#include "population/draw.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>

dk_bank_request dk_default_bank_request(void)
{
	return (dk_bank_request){ .node = dk_default_condition(),
		.air_scale_k = 5,
		.sea_scale_k = 4,
		.severities = DK_BANK_SEVERITIES,
		.seed = 1,
		.model_version = "",
		.threads = 1 };
}

// ---------------------------------------------------------------- what a bank is made from

static uint64_t hash_params(uint64_t hash)
{
	for (int p = 0; p < DK_PARAM_COUNT; ++p)
	{
		const dk_param_row *row = &dk_param_info[p];
		hash = dk_hash_text(dk_hash_text(hash, row->id), row->unit);
		const double number[] = { row->low, row->high, row->spread_plate, row->spread_fitted };
		for (size_t i = 0; i < sizeof number / sizeof *number; ++i) hash = dk_hash_double(hash, number[i]);
		hash = dk_hash_int(hash, row->z_group);
		hash = dk_hash_int(hash, row->twin);
	}
	return hash;
}

static uint64_t hash_readings(uint64_t hash)
{
	for (int r = 0; r < DK_READING_COUNT; ++r)
	{
		const dk_reading_row *row = &dk_reading_info[r];
		hash = dk_hash_text(dk_hash_text(dk_hash_text(hash, row->id), row->unit), row->gauge);
		const double number[] = { row->floor, row->cap, row->gauge_sd, row->bias_sd, row->model_sd };
		for (size_t i = 0; i < sizeof number / sizeof *number; ++i) hash = dk_hash_double(hash, number[i]);
		hash = dk_hash_int(hash, row->transform);
		hash = dk_hash_int(hash, row->points);
	}
	return hash;
}

static uint64_t hash_condition(uint64_t hash, const dk_condition *node)
{
	const double number[] = { node->air_k, node->sea_k, node->pressure_pa, node->humidity, node->soak_h,
		node->heel_deg };
	for (size_t i = 0; i < sizeof number / sizeof *number; ++i) hash = dk_hash_double(hash, number[i]);
	return hash;
}

uint64_t dk_bank_hash(const dk_bank_request *request)
{
	uint64_t hash = dk_hash_text(DK_HASH_START, request->model_version);
	for (int p = 0; p < DK_PARAM_COUNT; ++p) hash = dk_hash_double(hash, request->base[p]);
	hash = hash_readings(hash_params(dk_hash_int(hash, request->fitted)));
	hash = dk_hash_int(hash, DK_POINT_COUNT);
	hash = dk_hash_int(hash, (int64_t)request->breaking->hash);
	for (int f = 0; f < request->breaking->count; ++f)
		hash = dk_hash_int(hash, request->left_out && request->left_out[f]);
	for (int r = 0; r < DK_READING_COUNT; ++r) hash = dk_hash_int(hash, dk_bank_present(request->present, r));
	hash = hash_condition(hash, &request->node);
	hash = dk_hash_double(dk_hash_double(hash, request->air_scale_k), request->sea_scale_k);
	hash = dk_hash_int(hash, request->severities);
	return dk_hash_int(hash, (int64_t)request->seed);
}

static dk_status check_range(
    dk_error *error, const char *field, double value, double low, double high, const char *unit)
{
	if (value >= low && value <= high) return DK_OK;
	dk_error_set(error, DK_OUT_OF_RANGE, "%s is %g", field, value);
	dk_error_field(error, field);
	return dk_error_range(error, low, high, unit), DK_OUT_OF_RANGE;
}

static dk_status check_request(const dk_bank_request *request, dk_error *error)
{
	const struct
	{
		const char *field, *unit;
		double value, low, high;
	} row[] = {
		{ "severities", "engines", request->severities, 2, 1024 },
		{ "threads", "threads", request->threads, 1, 64 },
		{ "air scale", "K", request->air_scale_k, 0.1, 30 },
		{ "sea scale", "K", request->sea_scale_k, 0.1, 30 },
	};
	for (size_t i = 0; i < sizeof row / sizeof *row; ++i)
	{
		const dk_status status =
		    check_range(error, row[i].field, row[i].value, row[i].low, row[i].high, row[i].unit);
		if (status != DK_OK) return status;
	}
	for (int p = 0; p < DK_PARAM_COUNT; ++p)
	{
		const dk_param_row *info = &dk_param_info[p];
		const dk_status status =
		    check_range(error, info->id, request->base[p], info->low, info->high, info->unit);
		if (status != DK_OK) return status;
	}
	return DK_OK;
}

// ---------------------------------------------------------------- where the arrays lie

static size_t rounded(size_t bytes)
{
	return (bytes + 63) / 64 * 64;
}

size_t dk_stratum_bytes(int n, bool with_jac)
{
	const size_t cells = (size_t)DK_POINT_COUNT * DK_READING_COUNT;
	const size_t jac = with_jac ? DK_BANK_SIDES * DK_Z_COUNT * cells * DK_BANK_KNOTS * sizeof(float) : 0;
	return rounded((size_t)n * 3 * sizeof(float)) + rounded((size_t)n * DK_POINT_COUNT) +
	       rounded(cells * (size_t)n * sizeof(float)) + rounded(jac);
}

void dk_stratum_place(dk_stratum *stratum, bool with_jac, void *block)
{
	const size_t n = (size_t)stratum->n, cells = (size_t)DK_POINT_COUNT * DK_READING_COUNT;
	char *at = block;
	stratum->severity = (float *)at;
	at += rounded(n * 3 * sizeof(float));
	stratum->status = (unsigned char *)at;
	at += rounded(n * DK_POINT_COUNT);
	stratum->reading = (float *)at;
	at += rounded(cells * n * sizeof(float));
	stratum->jac = with_jac ? (float *)at : NULL;
}

// strata of one fault: one for each number of cylinders it may be in
static int hit_counts(const dk_breakage *fault, int cylinders, int *first)
{
	*first = fault->cylinders == DK_CYLINDERS_ALL ? 0 : 1;
	return fault->cylinders == DK_CYLINDERS_K ? cylinders : 1;
}

// names the strata, or only counts them when `stratum` is NULL
static int name_strata(const dk_bank_request *request, dk_stratum *stratum)
{
	int count = 0;
	if (stratum) stratum[0] = (dk_stratum){ .n = 1, .part = { -1, -1 } };
	++count;
	const int cylinders = (int)lround(request->base[DK_PARAM_cylinder_count]);
	for (int f = 0; f < request->breaking->count; ++f)
	{
		if (request->left_out && request->left_out[f]) continue;
		int first;
		const int counts = hit_counts(&request->breaking->fault[f], cylinders, &first);
		for (int k = 0; k < counts; ++k, ++count)
			if (stratum)
				stratum[count] = (dk_stratum){ .fault = { f },
					.fault_count = 1,
					.hit_count = first + k,
					.n = request->severities,
					.part = { -1, -1 } };
	}
	return count;
}

static void place_strata(dk_bank *bank)
{
	char *at = bank->store;
	for (int s = 0; s < bank->stratum_count; ++s)
	{
		dk_stratum *stratum = &bank->stratum[s];
		dk_stratum_place(stratum, true, at);
		at += dk_stratum_bytes(stratum->n, true);
		for (int i = 0; i < stratum->n && stratum->fault_count == 1; ++i)
			stratum->severity[3 * i] = (float)dk_draw_severity(i, stratum->n);
	}
}

// a bank with empty lists; NULL when memory ran out
static dk_bank *bank_new(const dk_breaking *breaking, int strata)
{
	dk_bank *bank = calloc(1, sizeof *bank);
	if (!bank) return NULL;
	bank->fault_count = breaking->count;
	bank->stratum_count = strata;
	bank->stratum = calloc((size_t)strata, sizeof *bank->stratum);
	bank->group_of_fault =
	    calloc(breaking->count > 0 ? (size_t)breaking->count : 1, sizeof *bank->group_of_fault);
	bank->breaking = dk_breaking_copy(breaking);
	if (bank->stratum && bank->group_of_fault && bank->breaking) return bank;
	dk_bank_free(bank);
	return NULL;
}

dk_status dk_bank_lay_out(const dk_bank_request *request, dk_bank **out, dk_error *error)
{
	const dk_status status = check_request(request, error);
	if (status != DK_OK) return status;
	dk_bank *bank = bank_new(request->breaking, name_strata(request, NULL));
	if (!bank) return dk_error_set(error, DK_NO_MEMORY, "no memory for the bank"), DK_NO_MEMORY;
	bank->hash = dk_bank_hash(request);
	bank->seed = request->seed;
	bank->node = request->node;
	bank->air_scale_k = request->air_scale_k;
	bank->sea_scale_k = request->sea_scale_k;
	bank->fitted = request->fitted;
	bank->severities = request->severities;
	memcpy(bank->base, request->base, sizeof bank->base);
	name_strata(request, bank->stratum);
	for (int s = 0; s < bank->stratum_count; ++s) bank->bytes += dk_stratum_bytes(bank->stratum[s].n, true);
	bank->store = calloc(1, bank->bytes);
	if (!bank->store)
	{
		dk_bank_free(bank);
		return dk_error_set(error, DK_NO_MEMORY, "no memory for the bank"), DK_NO_MEMORY;
	}
	place_strata(bank);
	*out = bank;
	return DK_OK;
}

void dk_bank_free(dk_bank *bank)
{
	if (!bank) return;
	free(bank->store);
	free(bank->stratum);
	free(bank->group_of_fault);
	dk_breaking_free(bank->breaking);
	free(bank);
}

int dk_bank_engines(const dk_bank_request *request)
{
	const int broken = name_strata(request, NULL) - 1;
	return DK_POINT_COUNT *
	       (dk_bank_run_engines(1, true) + broken * dk_bank_run_engines(request->severities, true));
}

// ---------------------------------------------------------------- reading it

int dk_bank_knot(int n, int knot)
{
	// rounded half up, in whole numbers
	return (2 * knot * (n - 1) + DK_BANK_KNOTS - 1) / (2 * (DK_BANK_KNOTS - 1));
}

// sensitivities of a stratum at a place between its engines: 0 is the first, n-1 the last
static void jac_between(
    const dk_stratum *stratum, double place, int point, int reading, int side, double *column)
{
	// the knots on both sides; all eight are one engine in the healthy stratum
	int knot = 0;
	while (knot < DK_BANK_KNOTS - 2 && dk_bank_knot(stratum->n, knot + 1) <= place) ++knot;
	const int low = dk_bank_knot(stratum->n, knot), high = dk_bank_knot(stratum->n, knot + 1);
	double share = high > low ? (place - low) / (high - low) : 0;
	share = fmin(fmax(share, 0), 1);
	for (int z = 0; z < DK_Z_COUNT; ++z)
	{
		const float *at = dk_stratum_jac(stratum, side, z, point, reading);
		column[z] = at[knot] + share * (at[knot + 1] - at[knot]);
	}
}

void dk_bank_jac_at(const dk_bank *bank, const dk_stratum *stratum, double severity, int point, int reading,
    int side, double column[DK_Z_COUNT])
{
	const double place = severity * stratum->n - 0.5;
	jac_between(stratum, place, point, reading, side, column);
	if (place >= 0 || stratum->fault_count == 0) return;

	// below the lowest severity: towards the healthy engine
	double healthy[DK_Z_COUNT];
	jac_between(&bank->stratum[0], 0, point, reading, side, healthy);
	const double share = fmax(severity * stratum->n / 0.5, 0);
	for (int z = 0; z < DK_Z_COUNT; ++z) column[z] = healthy[z] + share * (column[z] - healthy[z]);
}

void dk_bank_jac(const dk_bank *bank, const dk_stratum *stratum, int engine, int point, int reading, int side,
    double column[DK_Z_COUNT])
{
	if (stratum->jac)
	{
		jac_between(stratum, engine, point, reading, side, column);
		return;
	}
	double a[DK_Z_COUNT], b[DK_Z_COUNT], healthy[DK_Z_COUNT];
	const float *severity = &stratum->severity[3 * engine];
	dk_bank_jac_at(bank, &bank->stratum[stratum->part[0]], severity[0], point, reading, side, a);
	dk_bank_jac_at(bank, &bank->stratum[stratum->part[1]], severity[1], point, reading, side, b);
	jac_between(&bank->stratum[0], 0, point, reading, side, healthy);
	for (int z = 0; z < DK_Z_COUNT; ++z) column[z] = a[z] + b[z] - healthy[z];
}

void dk_bank_neighbours(const dk_stratum *stratum, int point, int engine, int *below, int *above)
{
	*below = *above = -1;
	if (stratum->fault_count > 1) return;
	for (int i = engine - 1; i >= 0 && *below < 0; --i)
		if (dk_stratum_status(stratum, point, i) != DK_NOT_SETTLED) *below = i;
	for (int i = engine + 1; i < stratum->n && *above < 0; ++i)
		if (dk_stratum_status(stratum, point, i) != DK_NOT_SETTLED) *above = i;
}

static double transformed(const dk_stratum *stratum, int point, int reading, int engine)
{
	return dk_reading_transform(reading, dk_stratum_reading(stratum, point, reading, engine));
}

double dk_bank_at(const dk_bank *bank, const dk_stratum *stratum, int point, int reading, double severity)
{
	if (stratum->fault_count == 0) return transformed(stratum, point, reading, 0);

	// the settled engines below and above; the healthy engine at severity 0
	int low = (int)floor(severity * stratum->n - 0.5);
	if (low > stratum->n - 1) low = stratum->n - 1;
	int high = low + 1;
	while (low >= 0 && dk_stratum_status(stratum, point, low) == DK_NOT_SETTLED) --low;
	while (high < stratum->n && dk_stratum_status(stratum, point, high) == DK_NOT_SETTLED) ++high;
	const double s_low = low >= 0 ? stratum->severity[3 * low] : 0;
	const double t_low = low >= 0 ? transformed(stratum, point, reading, low)
	                              : transformed(&bank->stratum[0], point, reading, 0);
	if (high >= stratum->n) return t_low;
	const double share = (severity - s_low) / (stratum->severity[3 * high] - s_low);
	return t_low + fmin(fmax(share, 0), 1) * (transformed(stratum, point, reading, high) - t_low);
}

double dk_bank_parameter(const dk_bank *bank, const dk_stratum *stratum, int engine, int parameter)
{
	double param[DK_PARAM_COUNT];
	dk_bank_engine(bank, stratum, engine, param);

	// an eye sees the hit cylinders, where there are any; the .b row itself is further down the table
	const int twin = dk_param_info[parameter].twin;
	return twin > parameter && param[DK_PARAM_cylinder_hit_count] > 0 ? param[twin] : param[parameter];
}

void dk_bank_engine(const dk_bank *bank, const dk_stratum *stratum, int engine, double *param)
{
	memcpy(param, bank->base, sizeof bank->base);
	dk_stratum_break(bank, stratum, engine, param);
}

void dk_stratum_break(const dk_bank *bank, const dk_stratum *stratum, int engine, double *param)
{
	dk_broken broken[3];
	for (int f = 0; f < stratum->fault_count; ++f)
	{
		const bool all = bank->breaking->fault[stratum->fault[f]].cylinders == DK_CYLINDERS_ALL;
		const bool one = bank->breaking->fault[stratum->fault[f]].cylinders == DK_CYLINDERS_ONE;
		broken[f] = (dk_broken){ stratum->fault[f], stratum->severity[3 * engine + f],
			all || one ? 0 : stratum->hit_count };
	}
	dk_breaking_apply(bank->breaking, broken, stratum->fault_count, param, NULL);
}

int dk_bank_find(const dk_bank *bank, int fault, int hit_count)
{
	for (int s = 0; s < bank->stratum_count; ++s)
	{
		const dk_stratum *stratum = &bank->stratum[s];
		if (stratum->fault_count == 1 && stratum->fault[0] == fault && stratum->hit_count == hit_count)
			return s;
	}
	return -1;
}

// ---------------------------------------------------------------- views

static dk_bank *view_of(const dk_bank *bank, const dk_breaking *breaking)
{
	if (!breaking) return NULL;
	dk_bank *view = bank_new(breaking, bank->stratum_count);
	if (!view) return NULL;
	dk_breaking *own = view->breaking;
	dk_stratum *strata = view->stratum;
	int *group = view->group_of_fault;
	*view = *bank;
	view->breaking = own;
	view->stratum = strata;
	view->group_of_fault = group;
	view->store = NULL;
	view->bytes = 0;
	memcpy(strata, bank->stratum, (size_t)bank->stratum_count * sizeof *strata);
	memcpy(group, bank->group_of_fault, (size_t)bank->fault_count * sizeof *group);
	return view;
}

// the groups numbered again by the first fault in each
static void renumber(dk_bank *view)
{
	int count = 0;
	for (int f = 0; f < view->fault_count; ++f)
	{
		if (view->group_of_fault[f] < count) continue;
		const int old = view->group_of_fault[f];
		for (int g = f; g < view->fault_count; ++g)
		{
			if (view->group_of_fault[g] == old)
				view->group_of_fault[g] = count;
			else if (view->group_of_fault[g] == count)
				view->group_of_fault[g] = old;
		}
		++count;
	}
	view->group_count = count;
}

dk_bank *dk_bank_exchanged(const dk_bank *bank)
{
	dk_breaking *exchanged = dk_breaking_exchange(bank->breaking);
	dk_bank *view = view_of(bank, exchanged);
	dk_breaking_free(exchanged);
	if (!view) return NULL;

	// fault f now has the engines that its partner had
	for (int f = 0; f < bank->fault_count; ++f)
	{
		const int partner = dk_breaking_partner(bank->breaking, f);
		view->group_of_fault[f] = bank->group_of_fault[partner];
		for (int s = 1; s < bank->stratum_count; ++s)
			if (bank->stratum[s].fault[0] == partner) view->stratum[s].fault[0] = f;
	}
	renumber(view);
	return view;
}

dk_bank *dk_bank_without(const dk_bank *bank, int fault)
{
	dk_bank *view = view_of(bank, bank->breaking);
	if (!view) return NULL;
	int count = 0;
	for (int s = 0; s < bank->stratum_count; ++s)
		if (bank->stratum[s].fault_count == 0 || bank->stratum[s].fault[0] != fault)
			view->stratum[count++] = bank->stratum[s];
	view->stratum_count = count;
	view->group_of_fault[fault] = -1;
	renumber(view);
	return view;
}
