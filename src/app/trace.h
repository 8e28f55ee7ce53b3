#pragma once
// donkeyman trace: what was seen, measured and tried goes in, the contract's trace answer comes out; the same
// bytes for the command and the page.
#include "app/banks.h"
#include "app/switches.h"
#include "infer/trace.h"

// How a trace is weighed, besides the request itself.
typedef struct dk_weighing
{
	const double *prior_factor; // [fault_count]; NULL = 1
	const bool *without;        // [fault_count]; NULL = none
	bool flat_priors;
	uint64_t seed;
} dk_weighing;

/// Answers one request from banks that are open.
///
/// Given:   boat, banks (NULL: none yet; red rules and gates answer), request, weighing
/// Returns: DK_OK and *answer, whose arrays live in `arena`
dk_status dk_app_trace_weigh(const dk_boat *boat, dk_banks *banks, const dk_request *request,
    const dk_weighing *weighing, dk_arena *arena, dk_trace_answer *answer, dk_error *error);

// The answer as contract.md names it. The caller owns it.
json_t *dk_app_trace_json(const dk_boat *boat, const dk_banks *banks, const dk_request *request,
    const dk_trace_answer *answer, uint64_t seed);

// --prior and --without of the switches, over the faults of the boat; NULL where none was given.
dk_status dk_app_weighing(
    const dk_switches *switches, const dk_boat *boat, dk_arena *arena, dk_weighing *out, dk_error *error);

// DK_CONTRADICTION when a case or request names another engine (NAME or FILE; NULL: none) than the boat's.
dk_status dk_app_same_engine(const dk_boat *boat, const char *engine, dk_error *error);

// The boat of --engine, else the one that the case file names.
dk_status dk_app_trace_boat(const dk_switches *switches, dk_boat **boat, dk_error *error);

// The request of the switches: --case, or the observations one by one.
dk_status dk_app_request(
    const dk_switches *switches, const dk_boat *boat, dk_arena *arena, dk_request *request, dk_error *error);

/// The whole command: opens boat and banks, answers. Progress goes to `order` (its seed, threads and folder
/// are taken from the switches).
dk_status dk_app_trace(
    const dk_switches *switches, const dk_banks_order *order, json_t **out, dk_error *error);
