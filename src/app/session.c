// One answer of a trace that goes on.
#include "app/session.h"

static dk_status answer(const dk_session *session, const dk_request *request, const dk_weighing *weighing,
    dk_arena *arena, json_t **out, dk_error *error)
{
	dk_trace_answer answer;
	DK_TRY(dk_app_trace_weigh(session->boat, session->banks, request, weighing, arena, &answer, error));
	*out = dk_app_trace_json(session->boat, session->banks, request, &answer, weighing->seed);
	return DK_OK;
}

dk_status dk_session_switches(
    const dk_session *session, const dk_switches *switches, json_t **out, dk_error *error)
{
	dk_arena *arena = dk_arena_new();
	dk_request request;
	dk_weighing weighing;
	dk_status status = dk_app_request(switches, session->boat, arena, &request, error);
	if (status == DK_OK) status = dk_app_weighing(switches, session->boat, arena, &weighing, error);
	if (status == DK_OK) status = answer(session, &request, &weighing, arena, out, error);
	dk_arena_free(arena);
	return status;
}

dk_status dk_session_json(
    const dk_session *session, const char *text, size_t size, uint64_t seed, json_t **out, dk_error *error)
{
	dk_arena *arena = dk_arena_new();
	dk_request request;
	const dk_weighing weighing = { .seed = seed };
	dk_status status = dk_request_from_json(text, size, session->boat->catalog, arena, &request, error);
	if (status == DK_OK) status = dk_app_same_engine(session->boat, request.engine, error);
	if (status == DK_OK) status = answer(session, &request, &weighing, arena, out, error);
	dk_arena_free(arena);
	return status;
}
