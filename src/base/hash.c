#include "base/hash.h"
#include <string.h>

uint64_t dk_hash_bytes(uint64_t hash, const void *bytes, size_t size)
{
	const unsigned char *b = bytes;
	for (size_t i = 0; i < size; ++i) hash = (hash ^ b[i]) * UINT64_C(0x100000001b3); // [FNV]
	return hash;
}

uint64_t dk_hash_text(uint64_t hash, const char *text)
{
	if (!text) text = "";
	return dk_hash_bytes(hash, text, strlen(text) + 1);
}

uint64_t dk_hash_int(uint64_t hash, int64_t value)
{
	unsigned char b[8];
	for (int i = 0; i < 8; ++i) b[i] = (unsigned char)((uint64_t)value >> (8 * i));
	return dk_hash_bytes(hash, b, sizeof b);
}

uint64_t dk_hash_double(uint64_t hash, double value)
{
	uint64_t bits = UINT64_C(0x7ff8000000000000);
	if (value == 0) value = 0;
	if (value == value) memcpy(&bits, &value, sizeof bits);
	return dk_hash_int(hash, (int64_t)bits);
}

uint32_t dk_crc32(uint32_t crc, const void *bytes, size_t size)
{
	// [IEEE802.3] clause 3.2.9, four bits at a time
	uint32_t table[16];
	for (uint32_t i = 0; i < 16; ++i)
	{
		uint32_t c = i;
		for (int k = 0; k < 4; ++k) c = c & 1 ? UINT32_C(0xedb88320) ^ c >> 1 : c >> 1;
		table[i] = c;
	}
	const unsigned char *b = bytes;
	crc = ~crc;
	for (size_t i = 0; i < size; ++i)
	{
		crc = table[(crc ^ b[i]) & 15] ^ crc >> 4;
		crc = table[(crc ^ b[i] >> 4) & 15] ^ crc >> 4;
	}
	return ~crc;
}
