#pragma once
// Where data/ is: DK_DATA of the environment, else under the folder the tests are run from.
#include <stdlib.h>

static inline const char *data_folder(void)
{
	const char *folder = getenv("DK_DATA");
	return folder ? folder : "data";
}
