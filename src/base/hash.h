#pragma once
// Hashes: FNV-1a (64 bit) for records, catalogue and answers; CRC-32 for the blocks of the bank file.
// Neither is a protection against malice; both find accidents.
#include <stddef.h>
#include <stdint.h>

// Start value of a hash: the FNV offset basis.
#define DK_HASH_START UINT64_C(0xcbf29ce484222325)

// Hash of more bytes after `hash`. Source: [FNV] FNV-1a, 64 bit, prime 0x100000001b3.
uint64_t dk_hash_bytes(uint64_t hash, const void *bytes, size_t size);

// The bytes of a text with its closing zero, so that "a","bc" and "ab","c" differ. NULL is taken as "".
uint64_t dk_hash_text(uint64_t hash, const char *text);

// The eight bytes of a number, low byte first; -0 as 0, every NaN as one.
uint64_t dk_hash_double(uint64_t hash, double value);
uint64_t dk_hash_int(uint64_t hash, int64_t value);

// CRC-32 of IEEE 802.3 (polynomial 0xedb88320 reflected); start with crc 0. Source: [IEEE802.3] clause 3.2.9.
uint32_t dk_crc32(uint32_t crc, const void *bytes, size_t size);
