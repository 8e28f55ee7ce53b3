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

// Odds in words and round numbers.
const char *dk_odds_words(double probability);
