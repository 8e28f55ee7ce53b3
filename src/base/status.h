#pragma once
// Every failure a library call can report, in one list with its plain words.
// The text is shown to the skipper as it stands; the sentence with field, unit and range is in error.h.
#define DK_STATUS_LIST(X)                                                                                    \
	X(DK_OK, "ok")                                                                                           \
	X(DK_BAD_INPUT, "something given is not in a form that is understood")                                   \
	X(DK_UNKNOWN_NAME, "a name is not known")                                                                \
	X(DK_WRONG_UNIT, "a value is given in a unit of the wrong kind")                                         \
	X(DK_OUT_OF_RANGE, "a value is outside what the model was checked for")                                  \
	X(DK_CONTRADICTION, "two answers contradict each other")                                                 \
	X(DK_MISSING, "something needed is missing")                                                             \
	X(DK_TOO_LARGE, "something given is larger than is accepted")                                            \
	X(DK_NOT_CONVERGED, "the calculation did not settle")                                                    \
	X(DK_NO_MEMORY, "out of memory")                                                                         \
	X(DK_NO_FILE, "a file could not be opened")                                                              \
	X(DK_NO_PERMISSION, "there is no permission to read or write a file")                                    \
	X(DK_FILE_FAILED, "a file could not be read or written")                                                 \
	X(DK_BAD_FILE, "a file is damaged or of another version")                                                \
	X(DK_PORT_IN_USE, "the port is in use")                                                                  \
	X(DK_CANCELLED, "stopped on request")

typedef enum dk_status
{
#define X(name, text) name,
	DK_STATUS_LIST(X)
#undef X
	    DK_STATUS_COUNT
} dk_status;

// The plain words of a status. Never NULL.
const char *dk_status_text(dk_status status);

// Hands a failure up: leaves the function with the status of `call` unless it is DK_OK.
#define DK_TRY(call)                                                                                         \
	do                                                                                                       \
	{                                                                                                        \
		const dk_status dk_try_status = (call);                                                              \
		if (dk_try_status != DK_OK) return dk_try_status;                                                    \
	} while (0)
