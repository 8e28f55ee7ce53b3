#include "base/arena.h"
#include <stdarg.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

// blocks grow so that a large catalogue needs few of them
enum
{
	FIRST_BLOCK = 16 << 10,
	LARGEST_BLOCK = 1 << 20,
	ALIGNMENT = 16
};

typedef struct block
{
	struct block *next;
	size_t size, used;
	_Alignas(ALIGNMENT) unsigned char bytes[];
} block;

struct dk_arena
{
	block *newest;
	size_t next_size, taken;
};

static void *claim(size_t size)
{
	void *memory = calloc(1, size);
	if (memory) return memory;
	fputs("donkeyman: out of memory\n", stderr);
	abort();
}

dk_arena *dk_arena_new(void)
{
	dk_arena *arena = claim(sizeof(dk_arena));
	arena->next_size = FIRST_BLOCK;
	return arena;
}

void dk_arena_free(dk_arena *arena)
{
	if (!arena) return;
	for (block *b = arena->newest; b;)
	{
		block *next = b->next;
		free(b);
		b = next;
	}
	free(arena);
}

// a new block that holds at least size bytes
static block *grow(dk_arena *arena, size_t size)
{
	size_t room = arena->next_size > size ? arena->next_size : size;
	if (room > SIZE_MAX - sizeof(block)) room = SIZE_MAX - sizeof(block);
	block *b = claim(sizeof(block) + room);
	b->size = room;
	b->next = arena->newest;
	arena->newest = b;
	if (arena->next_size < LARGEST_BLOCK) arena->next_size *= 2;
	return b;
}

void *dk_arena_take(dk_arena *arena, size_t size)
{
	if (size > SIZE_MAX - ALIGNMENT) size = SIZE_MAX - ALIGNMENT;
	const size_t rounded = (size + ALIGNMENT - 1) / ALIGNMENT * ALIGNMENT;
	block *b = arena->newest;
	if (!b || b->size - b->used < rounded) b = grow(arena, rounded);
	void *memory = b->bytes + b->used;
	b->used += rounded;
	arena->taken += rounded;
	return memory;
}

void *dk_arena_array(dk_arena *arena, size_t count, size_t size)
{
	if (size && count > SIZE_MAX / size) return dk_arena_take(arena, SIZE_MAX);
	return dk_arena_take(arena, count * size);
}

char *dk_arena_bytes(dk_arena *arena, const char *bytes, size_t length)
{
	char *copy = dk_arena_take(arena, length + 1);
	if (length) memcpy(copy, bytes, length);
	return copy;
}

char *dk_arena_text(dk_arena *arena, const char *text)
{
	return dk_arena_bytes(arena, text, strlen(text));
}

char *dk_arena_format(dk_arena *arena, const char *format, ...)
{
	va_list list, again;
	va_start(list, format);
	va_copy(again, list);
	const int length = vsnprintf(NULL, 0, format, list);
	va_end(list);
	char *text = dk_arena_take(arena, length < 0 ? 1 : (size_t)length + 1);
	if (length >= 0) vsnprintf(text, (size_t)length + 1, format, again);
	va_end(again);
	return text;
}

size_t dk_arena_used(const dk_arena *arena)
{
	return arena->taken;
}
