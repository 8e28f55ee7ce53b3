// Banks in the background.
#include "serve/keeper.h"
#include <math.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

const char *const dk_keeper_state_name[5] = { "none", "building", "ready", "stopped", "failed" };

enum
{
	kKept = 6 // conditions whose banks are kept at once; a skipper changes air and sea a few times a day
};

struct dk_keeper
{
	const dk_boat *boat;
	dk_banks_order order;
	pthread_mutex_t lock; // over everything below
	pthread_t thread;
	bool has_thread;
	atomic_bool cancel;
	dk_said said[kKept]; // of the banks that are ready
	dk_banks *banks[kKept];
	int count;
	dk_said wanted; // of the build that goes on or ended last
	dk_keeper_state state;
	int done, total;
	double begun_s;
	char what[DK_ERROR_TEXT];
};

static double now_s(void)
{
	struct timespec now;
	clock_gettime(CLOCK_MONOTONIC, &now);
	return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static bool same(const dk_said *a, const dk_said *b)
{
	return a->air == b->air && a->sea == b->sea && a->pressure == b->pressure && a->humidity == b->humidity &&
	       a->soak == b->soak && (!a->air || a->air_k == b->air_k) && (!a->sea || a->sea_k == b->sea_k) &&
	       (!a->pressure || a->pressure_pa == b->pressure_pa) &&
	       (!a->humidity || a->humidity_share == b->humidity_share) && (!a->soak || a->soak_h == b->soak_h);
}

static void note_progress(void *context, int done, int total)
{
	dk_keeper *keeper = context;
	pthread_mutex_lock(&keeper->lock);
	keeper->done = done;
	keeper->total = total;
	pthread_mutex_unlock(&keeper->lock);
}

static void *build(void *context)
{
	dk_keeper *keeper = context;
	dk_banks *banks = NULL;
	dk_error error;
	pthread_mutex_lock(&keeper->lock);
	const dk_said said = keeper->wanted;
	pthread_mutex_unlock(&keeper->lock);
	const dk_status status = dk_banks_open(keeper->boat, &said, &keeper->order, &banks, &error);

	pthread_mutex_lock(&keeper->lock);
	if (status == DK_OK && keeper->count < kKept)
	{
		keeper->said[keeper->count] = said;
		keeper->banks[keeper->count++] = banks;
		keeper->state = DK_KEEPER_READY;
	}
	else if (status == DK_OK)
	{
		dk_banks_close(banks);
		keeper->state = DK_KEEPER_FAILED;
		snprintf(keeper->what, sizeof keeper->what, "Too many conditions at once. Start the program anew.");
	}
	else
	{
		keeper->state = status == DK_CANCELLED ? DK_KEEPER_STOPPED : DK_KEEPER_FAILED;
		dk_error_text(&error, keeper->what, sizeof keeper->what);
	}
	pthread_mutex_unlock(&keeper->lock);
	return NULL;
}

dk_keeper *dk_keeper_open(const dk_boat *boat, const dk_banks_order *order)
{
	dk_keeper *keeper = calloc(1, sizeof *keeper);
	if (!keeper) return NULL;
	keeper->boat = boat;
	keeper->order = *order;
	keeper->order.progress = note_progress;
	keeper->order.context = keeper;
	keeper->order.cancel = &keeper->cancel;
	pthread_mutex_init(&keeper->lock, NULL);
	return keeper;
}

// ends the thread, if there is one; the lock is not held
static void join(dk_keeper *keeper, bool cancel)
{
	if (!keeper->has_thread) return;
	if (cancel) atomic_store(&keeper->cancel, true);
	pthread_join(keeper->thread, NULL);
	keeper->has_thread = false;
	atomic_store(&keeper->cancel, false);
}

void dk_keeper_close(dk_keeper *keeper)
{
	if (!keeper) return;
	join(keeper, true);
	for (int i = 0; i < keeper->count; ++i) dk_banks_close(keeper->banks[i]);
	pthread_mutex_destroy(&keeper->lock);
	free(keeper);
}

static dk_banks *find(dk_keeper *keeper, const dk_said *said)
{
	for (int i = 0; i < keeper->count; ++i)
		if (same(&keeper->said[i], said)) return keeper->banks[i];
	return NULL;
}

// begins a build; the lock is held
static void begin(dk_keeper *keeper, const dk_said *said)
{
	keeper->wanted = *said;
	keeper->state = DK_KEEPER_BUILDING;
	keeper->done = keeper->total = 0;
	keeper->begun_s = now_s();
	keeper->what[0] = 0;
	keeper->has_thread = pthread_create(&keeper->thread, NULL, build, keeper) == 0;
	if (!keeper->has_thread)
	{
		keeper->state = DK_KEEPER_FAILED;
		snprintf(keeper->what, sizeof keeper->what, "No thread could be started for the sums.");
	}
}

dk_banks *dk_keeper_banks(dk_keeper *keeper, const dk_said *said, bool start)
{
	pthread_mutex_lock(&keeper->lock);
	dk_banks *found = find(keeper, said);
	const bool going_on = keeper->state == DK_KEEPER_BUILDING;
	if (!found && start && !going_on)
	{
		// the thread before has come to its end: this only takes it off the books
		if (keeper->has_thread) pthread_join(keeper->thread, NULL);
		atomic_store(&keeper->cancel, false);
		begin(keeper, said);
	}
	else if (!found && start && !same(&keeper->wanted, said))
		atomic_store(&keeper->cancel, true);
	pthread_mutex_unlock(&keeper->lock);
	return found;
}

void dk_keeper_progress_of(dk_keeper *keeper, dk_keeper_progress *out)
{
	pthread_mutex_lock(&keeper->lock);
	*out = (dk_keeper_progress){
		.state = keeper->state, .done = keeper->done, .total = keeper->total, .seconds_left = NAN
	};
	memcpy(out->what, keeper->what, sizeof out->what);
	const double spent = now_s() - keeper->begun_s;
	if (keeper->state == DK_KEEPER_BUILDING && keeper->done > 0)
		out->seconds_left = spent * (keeper->total - keeper->done) / keeper->done;
	pthread_mutex_unlock(&keeper->lock);
}

void dk_keeper_stop(dk_keeper *keeper)
{
	atomic_store(&keeper->cancel, true);
}
