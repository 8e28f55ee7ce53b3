#pragma once
// Members of an answer that are texts or numbers.
#include <jansson.h>
#include <math.h>

// "" where there is none.
static inline const char *dk_pick_text(const json_t *object, const char *key)
{
	const char *text = json_string_value(json_object_get(object, key));
	return text ? text : "";
}

// NAN where there is none.
static inline double dk_pick_number(const json_t *object, const char *key)
{
	const json_t *value = json_object_get(object, key);
	return json_is_number(value) ? json_number_value(value) : NAN;
}
