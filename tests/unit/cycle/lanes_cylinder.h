#pragma once
// Random broken cylinders: how many, and how many numbers each gives (cycle result, state, crank result).
enum
{
	LANES_CASES = 208,
	LANES_FIELDS = 58
};
void lanes_cylinder_w1(double *out);
void lanes_cylinder_w2(double *out);
void lanes_cylinder_w4(double *out);
void lanes_cylinder_w8(double *out);
