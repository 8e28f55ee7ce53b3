#pragma once
// Ids and figures of an answer in people's words. Each returns a text that lives for ever, or fills the one
// it is given.
#include <stddef.h>

// Odds in words and round numbers.
const char *dk_words_odds(double probability);

// Where a check is done: "at the engine's face"; an id without words of its own is returned as it is.
const char *dk_words_place(const char *id);

// An operating point: "at your usual revs".
const char *dk_words_point(const char *id);

// How an observation speaks: "strongly for", "plainly against", "a little for"; NULL: it says little.
const char *dk_words_strength(double log_ratio);

// "water.outlet@cruise" as "water.outlet, at your usual revs".
char *dk_words_observation(const char *name, char *text, size_t size);

// A source without its keys: '[KEY] ' goes, 'ASSUMED-12' becomes 'our assumption'.
char *dk_words_source(const char *source, char *text, size_t size);
