// Opens a boat: catalogue, record, fit, faults.
#include "app/boat.h"
#include <string.h>

const char *const dk_model_version = "0.1.0";

// readings that need a gauge on the panel; a boat with lamps only does without
static bool on_panel(int reading)
{
	return reading == DK_READING_coolant_gauge || reading == DK_READING_oil_gauge ||
	       reading == DK_READING_tacho_shown;
}

// what the boat can get: not what no gauge shows, and no needle where there are lamps only
static void find_present(dk_boat *boat)
{
	const bool lamps = boat->record.installation.answer[DK_INSTALL_instruments] ==
	                   dk_install_answer_find(DK_INSTALL_instruments, "lamps");
	for (int r = 0; r < DK_READING_COUNT; ++r)
		boat->present[r] = strcmp(dk_reading_info[r].gauge, "none") != 0 && !(lamps && on_panel(r));
}

static void find_possible(dk_boat *boat)
{
	const dk_catalog *catalog = boat->catalog;
	const dk_installation *aboard = &boat->record.installation;
	boat->fault_possible = dk_arena_array(boat->arena, catalog->fault_count, sizeof(bool));
	boat->sign_possible = dk_arena_array(boat->arena, catalog->sign_count, sizeof(bool));
	boat->check_possible = dk_arena_array(boat->arena, catalog->check_count, sizeof(bool));
	for (int i = 0; i < catalog->fault_count; ++i)
		boat->fault_possible[i] = dk_when_holds(&catalog->fault[i].fitted, aboard);
	for (int i = 0; i < catalog->sign_count; ++i)
		boat->sign_possible[i] = dk_when_holds(&catalog->sign[i].ask_when, aboard);
	for (int i = 0; i < catalog->check_count; ++i)
		boat->check_possible[i] = dk_when_holds(&catalog->check[i].ask_when, aboard);
	find_present(boat);
}

static dk_status open_all(const char *data_folder, const char *engine, const char *const *set, int count,
    dk_boat *boat, dk_error *error)
{
	DK_TRY(dk_catalog_load(data_folder, boat->arena, &boat->catalog, error));
	DK_TRY(dk_record_find(data_folder, engine, boat->arena, &boat->record, error));
	const dk_plate plate = { .rated_power_w = boat->record.rated_power_w,
		.hot_idle_oil_pa = boat->record.hot_idle_oil_pa,
		.given = boat->record.given };
	DK_TRY(dk_fit_plate(boat->record.param, &plate, &boat->fitted, error));
	for (int i = 0; i < count; ++i) DK_TRY(dk_record_set(&boat->record, set[i], boat->arena, error));
	DK_TRY(dk_breaking_open(boat->catalog, &boat->breaking, error));
	find_possible(boat);
	return DK_OK;
}

dk_status dk_boat_open(const char *data_folder, const char *engine, const char *const *set, int count,
    dk_boat **out, dk_error *error)
{
	dk_arena *arena = dk_arena_new();
	dk_boat *boat = dk_arena_take(arena, sizeof *boat);
	boat->arena = arena;
	boat->engine = dk_arena_text(arena, engine);
	const dk_status status = open_all(data_folder, engine, set, count, boat, error);
	if (status != DK_OK)
	{
		dk_boat_close(boat);
		return status;
	}
	*out = boat;
	return DK_OK;
}

void dk_boat_close(dk_boat *boat)
{
	if (!boat) return;
	dk_breaking_free(boat->breaking);
	dk_arena_free(boat->arena);
}
