// The routes under /api.
#include "serve/api.h"
#include "app/engine_card.h"
#include "app/list.h"
#include "app/start.h"
#include "base/json.h"
#include <stdlib.h>
#include <string.h>

// the bytes of an answer; lets the answer go
static dk_serve_answer give(json_t *answer)
{
	char *bytes = dk_json_dump(answer);
	json_decref(answer);
	if (!bytes) return dk_serve_json(NULL, 0);

	// one line, ended as a command ends it, so that both are the same bytes
	const size_t length = strlen(bytes);
	char *line = realloc(bytes, length + 2);
	if (!line)
	{
		free(bytes);
		return dk_serve_json(NULL, 0);
	}
	memcpy(line + length, "\n", 2);
	return dk_serve_json(line, length + 1);
}

// a failure as the sentence that a command prints
static dk_serve_answer refuse(const dk_error *error)
{
	char sentence[DK_ERROR_TEXT];
	dk_error here = *error;

	// a body has no file name: the sentence is the one that the command says
	if (!strcmp(here.file, "request")) here.file[0] = 0;
	dk_error_text(&here, sentence, sizeof sentence);
	const bool ours =
	    error->status == DK_NO_MEMORY || error->status == DK_FILE_FAILED || error->status == DK_NOT_CONVERGED;
	json_t *complaint = json_object();
	json_object_set_new(complaint, "what", dk_json_text(sentence));
	if (error->field[0]) json_object_set_new(complaint, "field", dk_json_text(error->field));
	if (error->advice[0]) json_object_set_new(complaint, "do", dk_json_text(error->advice));
	if (error->has_range)
	{
		json_object_set_new(complaint, "low", dk_json_number(error->low));
		json_object_set_new(complaint, "high", dk_json_number(error->high));
		json_object_set_new(complaint, "unit", dk_json_text(error->unit));
	}
	json_t *body = json_object();
	json_object_set_new(body, "error", complaint);
	dk_serve_answer answer = give(body);
	answer.status = ours ? 500 : 400;
	return answer;
}

static dk_serve_answer start_route(void *context, const dk_serve_request *request)
{
	(void)request;
	const dk_api *api = context;
	json_t *answer;
	dk_error error;
	if (dk_app_start(api->boat, api->data_folder, &answer, &error) != DK_OK) return refuse(&error);
	return give(answer);
}

static dk_serve_answer engine_route(void *context, const dk_serve_request *request)
{
	(void)request;
	const dk_api *api = context;
	json_t *answer;
	dk_app_engine_of(api->boat, &answer);
	return give(answer);
}

static dk_serve_answer list_route(void *context, const dk_serve_request *request)
{
	const dk_api *api = context;
	json_t *answer;
	dk_error error;
	if (dk_app_list_of(api->boat, api->data_folder, request->tail, &answer, &error) != DK_OK)
		return refuse(&error);
	return give(answer);
}

static dk_serve_answer bank_route(void *context, const dk_serve_request *request)
{
	(void)request;
	const dk_api *api = context;
	dk_keeper_progress progress;
	dk_keeper_progress_of(api->keeper, &progress);
	json_t *out = json_object();
	json_object_set_new(out, "state", dk_json_text(dk_keeper_state_name[progress.state]));
	json_object_set_new(out, "done", json_integer(progress.done));
	json_object_set_new(out, "total", json_integer(progress.total));
	json_object_set_new(out, "seconds_left", dk_json_number(progress.seconds_left));
	if (progress.what[0]) json_object_set_new(out, "what", dk_json_text(progress.what));
	return give(out);
}

static dk_serve_answer stop_route(void *context, const dk_serve_request *request)
{
	const dk_api *api = context;
	dk_keeper_stop(api->keeper);
	return bank_route(context, request);
}

// the condition that a request names, so that its banks can be found
static dk_status read_said(const dk_api *api, const dk_serve_request *request, dk_said *said, dk_error *error)
{
	dk_arena *arena = dk_arena_new();
	dk_request read;
	const dk_status status =
	    dk_request_from_json(request->body, request->length, api->boat->catalog, arena, &read, error);
	if (status == DK_OK) *said = read.said;
	dk_arena_free(arena);
	return status;
}

// without a bank yet the answer holds what needs none: red rules, gates and the priors; bank_hash is then
// null
static dk_serve_answer trace_route(void *context, const dk_serve_request *request)
{
	const dk_api *api = context;
	dk_said said;
	dk_error error;
	json_t *answer;
	if (read_said(api, request, &said, &error) != DK_OK) return refuse(&error);
	const dk_session session = { .boat = api->boat, .banks = dk_keeper_banks(api->keeper, &said, true) };
	if (dk_session_json(&session, request->body, request->length, api->seed, &answer, &error) != DK_OK)
		return refuse(&error);
	return give(answer);
}

const dk_serve_route dk_api_routes[] = {
	{ "GET", "/api/start", start_route, "what the page needs of record and catalogue" },
	{ "GET", "/api/engine", engine_route, "the engine record, every figure with its source" },
	{ "GET", "/api/list/*", list_route, "a table or a part of the catalogue" },
	{ "GET", "/api/bank", bank_route, "how far the virtual engines are" },
	{ "POST", "/api/bank/stop", stop_route, "stop building them" },
	{ "POST", "/api/trace", trace_route, "observations in, ranked causes and the next check out" },
};
const int dk_api_route_count = sizeof dk_api_routes / sizeof *dk_api_routes;
