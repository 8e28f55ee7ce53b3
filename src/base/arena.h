#pragma once
// Memory for one request: many takes, one free. Nothing taken is moved or freed singly.
#include <stddef.h>

typedef struct dk_arena dk_arena;

// A new, empty arena. dk_arena_free ends it and all that was taken from it; NULL is allowed.
dk_arena *dk_arena_new(void);
void dk_arena_free(dk_arena *arena);

// `size` bytes, all zero, aligned to 16. Never NULL: when the machine has no memory left the process ends
// with a message, because readers bound what they take (yaml.h, file.h) and no caller could go on.
void *dk_arena_take(dk_arena *arena, size_t size);

// `count` items of `size` bytes; a product too large for size_t ends the process likewise.
void *dk_arena_array(dk_arena *arena, size_t count, size_t size);

// A copy of a text, or of its first `length` bytes, with a zero at the end.
char *dk_arena_text(dk_arena *arena, const char *text);
char *dk_arena_bytes(dk_arena *arena, const char *bytes, size_t length);

// printf into the arena.
char *dk_arena_format(dk_arena *arena, const char *format, ...) __attribute__((format(printf, 2, 3)));

// Bytes taken so far.
size_t dk_arena_used(const dk_arena *arena);
