#include "population/bank_file.h"
#include "base/file.h"
#include "base/hash.h"
#include "population/bank_store.h"
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum
{
	FORMAT = 1,
	BYTE_ORDER_MARK = 0x01020304
};
static const char kMagic[8] = "DKBANK\r\n";

// the first bytes of a file; the CRC is over everything before it
typedef struct file_head
{
	char magic[8];
	uint32_t format, byte_order;
	uint64_t hash, seed, size;
	uint32_t params, readings, points, strata, faults, severities;
	double condition[6], air_scale_k, sea_scale_k, cruise_lever;
	uint32_t fitted, crc;
} file_head;
_Static_assert(sizeof(file_head) == 144, "no gaps: the struct is the file's form");

// stands before the bytes of a block; a CRC over both comes after
typedef struct block_head
{
	uint32_t tag, number;
	uint64_t length;
} block_head;

// what a stratum is, ahead of its arrays
typedef struct stratum_head
{
	int32_t fault[3], fault_count, hit_count, n;
} stratum_head;

enum
{
	TAG_BASE = 0x45534142,    // "BASE"
	TAG_STRATUM = 0x41525453, // "STRA"
	TAG_GROUPS = 0x53505247   // "GRPS"
};

static size_t block_bytes(size_t length)
{
	return sizeof(block_head) + length + sizeof(uint32_t);
}

static size_t groups_bytes(const dk_bank *bank)
{
	return ((size_t)bank->fault_count + 1) * sizeof(int32_t);
}

static size_t file_bytes(const dk_bank *bank)
{
	size_t bytes = sizeof(file_head) + block_bytes(sizeof bank->base) + block_bytes(groups_bytes(bank));
	for (int s = 0; s < bank->stratum_count; ++s)
		bytes += block_bytes(sizeof(stratum_head) + dk_stratum_bytes(bank->stratum[s].n, true));
	return bytes;
}

static file_head head_of(const dk_bank *bank)
{
	file_head head = { .format = FORMAT,
		.byte_order = BYTE_ORDER_MARK,
		.hash = bank->hash,
		.seed = bank->seed,
		.size = file_bytes(bank),
		.params = DK_PARAM_COUNT,
		.readings = DK_READING_COUNT,
		.points = DK_POINT_COUNT,
		.strata = (uint32_t)bank->stratum_count,
		.faults = (uint32_t)bank->fault_count,
		.severities = (uint32_t)bank->severities,
		.condition = { bank->node.air_k, bank->node.sea_k, bank->node.pressure_pa, bank->node.humidity,
		    bank->node.soak_h, bank->node.heel_deg },
		.air_scale_k = bank->air_scale_k,
		.sea_scale_k = bank->sea_scale_k,
		.cruise_lever = bank->cruise_lever,
		.fitted = bank->fitted };
	memcpy(head.magic, kMagic, sizeof head.magic);
	head.crc = dk_crc32(0, &head, offsetof(file_head, crc));
	return head;
}

static stratum_head head_of_stratum(const dk_stratum *stratum)
{
	return (stratum_head){ { stratum->fault[0], stratum->fault[1], stratum->fault[2] }, stratum->fault_count,
		stratum->hit_count, stratum->n };
}

// ---------------------------------------------------------------- writing

// a place in a buffer that is known to be large enough
static void put(char **at, const void *bytes, size_t size)
{
	memcpy(*at, bytes, size);
	*at += size;
}

static void close_block(char **at, const char *start)
{
	const uint32_t crc = dk_crc32(0, start, (size_t)(*at - start));
	put(at, &crc, sizeof crc);
}

static void put_block(char **at, uint32_t tag, uint32_t number, const void *head, size_t head_size,
    const void *bytes, size_t size)
{
	char *start = *at;
	const block_head block = { tag, number, head_size + size };
	put(at, &block, sizeof block);
	if (head_size) put(at, head, head_size);
	put(at, bytes, size);
	close_block(at, start);
}

static void put_groups(char **at, const dk_bank *bank)
{
	char *start = *at;
	const block_head block = { TAG_GROUPS, 0, groups_bytes(bank) };
	const int32_t count = bank->group_count;
	put(at, &block, sizeof block);
	put(at, &count, sizeof count);
	for (int f = 0; f < bank->fault_count; ++f)
	{
		const int32_t group = bank->group_of_fault[f];
		put(at, &group, sizeof group);
	}
	close_block(at, start);
}

dk_status dk_bank_save(const dk_bank *bank, const char *path, dk_error *error)
{
	const file_head head = head_of(bank);
	char *bytes = malloc(head.size), *at = bytes;
	if (!bytes) return dk_error_set(error, DK_NO_MEMORY, "no memory to write the bank"), DK_NO_MEMORY;
	put(&at, &head, sizeof head);
	put_block(&at, TAG_BASE, 0, NULL, 0, bank->base, sizeof bank->base);
	for (int s = 0; s < bank->stratum_count; ++s)
	{
		const dk_stratum *stratum = &bank->stratum[s];
		const stratum_head about = head_of_stratum(stratum);
		put_block(&at, TAG_STRATUM, (uint32_t)s, &about, sizeof about, stratum->severity,
		    dk_stratum_bytes(stratum->n, true));
	}
	put_groups(&at, bank);
	const dk_status status = dk_file_write(path, bytes, head.size, error);
	free(bytes);
	return status;
}

// ---------------------------------------------------------------- reading

static dk_status found(
    dk_error *error, dk_bank_finding *finding, dk_bank_finding what, const char *path, const char *why)
{
	if (finding) *finding = what;
	dk_error_set(error, DK_BAD_FILE, "the bank is %s: %s", what == DK_BANK_STALE ? "stale" : "damaged", why);
	dk_error_field(error, "bank");
	dk_error_at(error, path, 0, 0);
	dk_error_advice(error, "it is built anew");
	return DK_BAD_FILE;
}

// the head against what was asked for: NULL when it is the bank wanted
static const char *judge_head(const file_head *head, const file_head *want, dk_bank_finding *finding)
{
	*finding = DK_BANK_DAMAGED;
	if (memcmp(head->magic, kMagic, sizeof kMagic)) return "the file is no bank";
	*finding = DK_BANK_STALE;
	if (head->format != FORMAT || head->byte_order != BYTE_ORDER_MARK) return "it has another form";
	*finding = DK_BANK_DAMAGED;
	if (head->crc != dk_crc32(0, head, offsetof(file_head, crc))) return "its head does not add up";
	*finding = DK_BANK_STALE;
	if (head->hash != want->hash) return "it was made from another engine, catalogue, condition or model";

	// the same hash is the same request, so everything else must agree but the lever, which is an answer
	file_head same = *want;
	same.cruise_lever = head->cruise_lever;
	same.crc = head->crc;
	*finding = DK_BANK_DAMAGED;
	if (memcmp(&same, head, sizeof same)) return "its head does not fit its contents";
	if (!(head->cruise_lever >= 0 && head->cruise_lever <= 1)) return "its cruise lever is out of range";
	return NULL;
}

// the next block, or NULL when it is not the one wanted or does not add up
static const char *take_block(const char **at, uint32_t tag, uint32_t number, size_t length)
{
	const block_head want = { tag, number, length };
	const char *start = *at;
	uint32_t crc;
	memcpy(&crc, start + sizeof want + length, sizeof crc);
	if (memcmp(start, &want, sizeof want) || crc != dk_crc32(0, start, sizeof want + length)) return NULL;
	*at += block_bytes(length);
	return start + sizeof want;
}

// every number of a stratum is one that a build could have made
static bool sound_stratum(const dk_stratum *stratum)
{
	const size_t n = (size_t)stratum->n, cells = (size_t)DK_POINT_COUNT * DK_READING_COUNT;
	for (size_t i = 0; i < n * DK_POINT_COUNT; ++i)
		if (stratum->status[i] > DK_NOT_SETTLED) return false;
	for (size_t i = 0; i < cells * n; ++i)
		if (!isfinite(stratum->reading[i])) return false;
	for (size_t i = 0; i < DK_BANK_SIDES * DK_Z_COUNT * cells * DK_BANK_KNOTS; ++i)
		if (!isfinite(stratum->jac[i])) return false;
	return true;
}

static bool take_stratum(const char **at, int number, dk_stratum *stratum)
{
	const size_t bytes = dk_stratum_bytes(stratum->n, true);
	const stratum_head want = head_of_stratum(stratum);
	const char *block = take_block(at, TAG_STRATUM, (uint32_t)number, sizeof want + bytes);
	if (!block || memcmp(block, &want, sizeof want)) return false;

	// the severities are known beforehand
	if (memcmp(block + sizeof want, stratum->severity, (size_t)stratum->n * 3 * sizeof(float))) return false;
	memcpy(stratum->severity, block + sizeof want, bytes);
	return sound_stratum(stratum);
}

static bool take_groups(const char **at, dk_bank *bank)
{
	const char *block = take_block(at, TAG_GROUPS, 0, groups_bytes(bank));
	if (!block) return false;
	int32_t count, group;
	memcpy(&count, block, sizeof count);
	if (count < 0 || count > bank->fault_count) return false;
	bank->group_count = count;
	for (int f = 0; f < bank->fault_count; ++f)
	{
		memcpy(&group, block + (f + 1) * sizeof group, sizeof group);
		if (group < -1 || group >= count) return false;
		bank->group_of_fault[f] = group;
	}
	return true;
}

static bool take_all(const char *bytes, dk_bank *bank)
{
	const char *at = bytes;
	const char *base = take_block(&at, TAG_BASE, 0, sizeof bank->base);
	if (!base || memcmp(base, bank->base, sizeof bank->base)) return false;
	for (int s = 0; s < bank->stratum_count; ++s)
		if (!take_stratum(&at, s, &bank->stratum[s])) return false;
	return take_groups(&at, bank);
}

// the file is open and `bank` laid out for the request
static dk_status load_into(
    FILE *file, const char *path, dk_bank *bank, dk_bank_finding *finding, dk_error *error)
{
	file_head head;
	const file_head want = head_of(bank);
	struct stat about;
	dk_bank_finding what = DK_BANK_DAMAGED;
	if (fstat(fileno(file), &about) || !S_ISREG(about.st_mode))
		return found(error, finding, what, path, "it is no plain file");
	if (fread(&head, sizeof head, 1, file) != 1) return found(error, finding, what, path, "it is cut short");
	const char *why = judge_head(&head, &want, &what);
	if (why) return found(error, finding, what, path, why);
	if ((uint64_t)about.st_size != want.size) return found(error, finding, what, path, "its length is wrong");

	const size_t rest = want.size - sizeof head;
	char *bytes = malloc(rest);
	if (!bytes) return dk_error_set(error, DK_NO_MEMORY, "no memory to read the bank"), DK_NO_MEMORY;
	const bool whole = fread(bytes, rest, 1, file) == 1 && take_all(bytes, bank);
	free(bytes);
	if (!whole) return found(error, finding, DK_BANK_DAMAGED, path, "a part of it does not add up");
	bank->cruise_lever = head.cruise_lever;
	if (finding) *finding = DK_BANK_GOOD;
	return DK_OK;
}

dk_status dk_bank_load(const dk_bank_request *request, const char *path, dk_bank **out,
    dk_bank_finding *finding, dk_error *error)
{
	if (finding) *finding = DK_BANK_ABSENT;
	dk_bank *bank;
	dk_status status = dk_bank_lay_out(request, &bank, error);
	if (status != DK_OK) return status;
	FILE *file = fopen(path, "rb");
	if (!file)
	{
		const int cause = errno;
		dk_bank_free(bank);
		status = cause == EACCES ? DK_NO_PERMISSION : DK_NO_FILE;
		dk_error_set(error, status, "the bank can't be opened: %s", strerror(cause));
		return dk_error_at(error, path, 0, 0), status;
	}
	status = load_into(file, path, bank, finding, error);
	fclose(file);
	if (status != DK_OK)
		dk_bank_free(bank);
	else
		*out = bank;
	return status;
}

// ---------------------------------------------------------------- the cache folder

// what banks of one engine may differ in and still be wanted side by side: a short number for the file name
static unsigned variant_of(const dk_bank_request *request)
{
	const dk_condition *node = &request->node;
	const double number[] = { node->pressure_pa, node->humidity, node->soak_h, node->heel_deg,
		request->air_scale_k, request->sea_scale_k };
	uint64_t hash = dk_hash_int(DK_HASH_START, (int64_t)request->seed);
	for (size_t i = 0; i < sizeof number / sizeof *number; ++i) hash = dk_hash_double(hash, number[i]);
	for (int f = 0; request->left_out && f < request->breaking->count; ++f)
		if (request->left_out[f]) hash = dk_hash_text(hash, request->breaking->fault[f].id);
	return (unsigned)(hash ^ hash >> 32);
}

static bool path_of(
    const dk_bank_request *request, const char *folder, const char *label, char *path, size_t size)
{
	char name[64];
	size_t i = 0;
	for (; label[i] && i < sizeof name - 1; ++i)
	{
		const char c = label[i];
		name[i] = (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') ? c : '_';
	}
	name[i] = 0;
	const int length = snprintf(path, size, "%s/%s_air%+.1f_sea%+.1f_%s_%d_%08x.bank", folder, name,
	    request->node.air_k - 273.15, request->node.sea_k - 273.15, request->fitted ? "fitted" : "plate",
	    request->severities, variant_of(request));
	return length > 0 && (size_t)length < size;
}

dk_status dk_bank_open(const dk_bank_request *request, const char *folder, const char *label, dk_bank **out,
    dk_bank_kept *kept, dk_error *error)
{
	dk_bank_kept own;
	if (!kept) kept = &own;
	*kept = (dk_bank_kept){ .finding = DK_BANK_ABSENT };
	bool cache = folder != NULL;
	if (cache) cache = path_of(request, folder, label, kept->path, sizeof kept->path);
	if (cache && dk_bank_load(request, kept->path, out, &kept->finding, NULL) == DK_OK) return DK_OK;

	const dk_status status = dk_bank_build(request, out, error);
	if (status != DK_OK || !cache) return status;
	mkdir(folder, 0777);
	kept->saved = dk_bank_save(*out, kept->path, NULL) == DK_OK;
	return DK_OK;
}
