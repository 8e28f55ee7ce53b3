#pragma once
// The page's files as they sit in the binary, read-only. tools/embed.py writes the table that defines
// them: one .S file with .incbin and the SHA-256 of each, so that an edited page is always relinked.
#include <stddef.h>

// One file of the page.
typedef struct dk_page_asset
{
	const char *path;   // as it is asked for: "/", "/page.1f0c….js"
	const char *type;   // Content-Type, charset included
	const char *sha256; // 64 hex digits; serves as ETag
	const unsigned char *bytes;
	size_t length; // [byte]
} dk_page_asset;

// All files; the last row has path NULL.
extern const dk_page_asset dk_page_assets[];
