#include "base/status.h"

const char *dk_status_text(dk_status status)
{
	static const char *const text[DK_STATUS_COUNT] = {
#define X(name, words) words,
		DK_STATUS_LIST(X)
#undef X
	};
	if ((unsigned)status >= DK_STATUS_COUNT) return "an error of an unknown kind";
	return text[status];
}
