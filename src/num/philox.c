#include "num/philox.h"
#include "num/normal.h"

void dk_philox_rounds(const uint32_t counter[4], const uint32_t key[2], int rounds, uint32_t out[4])
{
	uint32_t c0 = counter[0], c1 = counter[1], c2 = counter[2], c3 = counter[3], k0 = key[0], k1 = key[1];
	for (int i = 0; i < rounds; ++i)
	{
		const uint64_t a = (uint64_t)0xD2511F53u * c0, b = (uint64_t)0xCD9E8D57u * c2;
		const uint32_t n0 = (uint32_t)(b >> 32) ^ c1 ^ k0, n2 = (uint32_t)(a >> 32) ^ c3 ^ k1;
		c1 = (uint32_t)b;
		c3 = (uint32_t)a;
		c0 = n0;
		c2 = n2;
		k0 += 0x9E3779B9u;
		k1 += 0xBB67AE85u;
	}
	out[0] = c0;
	out[1] = c1;
	out[2] = c2;
	out[3] = c3;
}

void dk_philox(const uint32_t counter[4], const uint32_t key[2], uint32_t out[4])
{
	dk_philox_rounds(counter, key, 10, out);
}

dk_stream dk_stream_of(uint32_t seed, const char *id)
{
	uint32_t hash = 2166136261u;
	for (const unsigned char *c = (const unsigned char *)id; *c; ++c) hash = (hash ^ *c) * 16777619u;
	return (dk_stream){ seed, hash };
}

double dk_stream_uniform(dk_stream stream, uint32_t engine, uint32_t dimension)
{
	const uint32_t counter[4] = { engine, dimension, 0, 0 }, key[2] = { stream.seed, stream.name };
	uint32_t word[4];
	dk_philox(counter, key, word);

	// the upper 52 bits, set in the middle of their interval
	const uint64_t bits = ((uint64_t)word[0] << 32 | word[1]) >> 12;
	return ((double)bits + 0.5) * 0x1p-52;
}

double dk_stream_normal(dk_stream stream, uint32_t engine, uint32_t dimension)
{
	return dk_normal_inverse(dk_stream_uniform(stream, engine, dimension));
}
