#pragma once
// Counter-based random numbers: the same key and counter always give the same numbers, in any order and
// on any thread. A virtual engine's numbers come from (seed, what they are for, engine, dimension), so
// adding a fault moves no other fault's engines.
#include <stdint.h>

/// Philox4x32, 10 rounds. Given: counter, key. Returns: four random words in out.
/// Source: [SALMON11] Salmon, Moraes, Dror, Shaw, Parallel random numbers: as easy as 1, 2, 3 (SC11)
void dk_philox(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4]);

// As dk_philox with another number of rounds (7 is the fewest that passes tests; used to check the rounds).
void dk_philox_rounds(const uint32_t counter[4], const uint32_t key[2], int rounds, uint32_t out[4]);

// A stream of numbers: the user's seed and what they are for.
typedef struct dk_stream
{
	uint32_t seed, name;
} dk_stream;

// Stream for a purpose given by an id, by FNV-1a of its bytes.
dk_stream dk_stream_of(uint32_t seed, const char *id);

// Uniform in (0, 1), never 0 or 1, 52 random bits. One number for each (engine, dimension).
double dk_stream_uniform(dk_stream stream, uint32_t engine, uint32_t dimension);

// Standard normal by inversion of the uniform number at the same place.
double dk_stream_normal(dk_stream stream, uint32_t engine, uint32_t dimension);
