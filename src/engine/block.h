#pragma once
// One block of engines as wide as the lanes: what passes between the width-neutral batch and the lane
// code. The arrays are [index * lanes + lane], 64-byte aligned so that a lane vector can be read in place.
#include "cycle/crank_grid.h"
#include "engine/batch.h"

enum
{
	DK_BLOCK_WIDEST = 8
};

typedef struct dk_block
{
	_Alignas(64) double param[DK_PARAM_COUNT * DK_BLOCK_WIDEST];
	_Alignas(64) double reading[DK_READING_COUNT * DK_BLOCK_WIDEST];
	_Alignas(64) double air_k[DK_BLOCK_WIDEST];
	_Alignas(64) double sea_k[DK_BLOCK_WIDEST];
	unsigned char status[DK_BLOCK_WIDEST]; // dk_point_status
	long cycles[DK_BLOCK_WIDEST];          // cylinder cycles each engine took until it settled
	const dk_crank_grid *running, *crank;  // grids of this point, made for the timing of all its engines
	dk_condition condition;
	int point;
	double lever;
} dk_block;
