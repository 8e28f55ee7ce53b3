#include "population/draw.h"
#include "num/philox.h"
#include "num/sobol.h"

double dk_draw_severity(int i, int n)
{
	return (i + 0.5) / n;
}

void dk_draw_pair(uint64_t seed, const char *id_a, const char *id_b, int i, double severity[2])
{
	const char *id[2] = { id_a, id_b };
	for (int d = 0; d < 2; ++d)
	{
		// a digital shift of every point by one random word: a net stays a net [OWEN95]
		const dk_stream stream = dk_stream_of((uint32_t)(seed ^ seed >> 32), id[d]);
		const uint32_t shift = (uint32_t)(dk_stream_uniform(stream, 0, (uint32_t)d) * 0x1p32);
		const uint32_t point = (uint32_t)(dk_sobol((uint32_t)i, d) * 0x1p32); // [SOBOL67]
		severity[d] = ((point ^ shift) + 0.5) * 0x1p-32;
	}
}
