#pragma once
// Answers as text for a terminal: the same content as --json.
#include <jansson.h>

void dk_show_run(const json_t *answer);
void dk_show_crank(const json_t *answer);
void dk_show_trace(const json_t *answer);
void dk_show_engine(const json_t *answer);
void dk_show_calc(const json_t *answer);
void dk_show_calc_list(const json_t *answer);
void dk_show_list(const json_t *answer);
void dk_show_score(const json_t *answer);

// Parts of the trace for the terminal's conversation: how it stands in a few lines, what to look at next with
// its cautions, and how that is done.
void dk_show_status(const json_t *answer);
void dk_show_check(const json_t *next);
void dk_show_steps(const json_t *next);
