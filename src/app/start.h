#pragma once
// What the page needs of record and catalogue before the first question: GET /api/start.
#include "app/boat.h"
#include <jansson.h>

// Rows that make no sense on this boat are left out. The caller owns it.
dk_status dk_app_start(const dk_boat *boat, const char *data_folder, json_t **out, dk_error *error);
