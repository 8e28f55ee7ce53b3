#pragma once
// What is aboard: the installation questions. Signs, checks and causes that need something that isn't
// aboard are dropped. A record answers each question; a row's `ask_when` names the answers under which it
// makes sense.

// question id, question in plain words
#define DK_INSTALL_LIST(X)                                                                                   \
	X(cooling, "how is the engine cooled?")                                                                  \
	X(exhaust, "is sea water sprayed into the exhaust?")                                                     \
	X(stop, "how is it stopped?")                                                                            \
	X(start_aid, "what helps it start in the cold?")                                                         \
	X(lift_pump, "what lifts the fuel?")                                                                     \
	X(coolant_pump_drive, "what turns the coolant pump?")                                                    \
	X(alternator_drive, "what turns the alternator?")                                                        \
	X(raw_pump_drive, "what turns the raw-water pump?")                                                      \
	X(gearbox, "which gearbox?")                                                                             \
	X(propeller, "which propeller?")                                                                         \
	X(instruments, "gauges, or lamps only?")                                                                 \
	X(decompressor, "can it be decompressed?")                                                               \
	X(hand_start, "can it be started by hand?")                                                              \
	X(inlet_valve, "is there a valve at the raw-water inlet?")                                               \
	X(injection, "which injection?")

// answers of each question; the first is the one taken (and said to be taken) when a record is silent
#define DK_ANSWERS_cooling "heat_exchanger", "raw_water", "keel"
#define DK_ANSWERS_exhaust "wet", "dry"
#define DK_ANSWERS_stop "cable", "energise_to_run", "energise_to_stop"
#define DK_ANSWERS_start_aid "glow_plugs", "none", "intake_heater", "flame_heater", "excess_fuel"
#define DK_ANSWERS_lift_pump "mechanical", "electric", "none"
#define DK_ANSWERS_coolant_pump_drive "belt", "gear", "none"
#define DK_ANSWERS_alternator_drive "belt", "gear", "none"
#define DK_ANSWERS_raw_pump_drive "gear", "belt", "none"
#define DK_ANSWERS_gearbox "mechanical", "hydraulic", "saildrive"
#define DK_ANSWERS_propeller "fixed", "folding", "feathering"
#define DK_ANSWERS_instruments "gauges", "lamps"
#define DK_ANSWERS_decompressor "no", "yes"
#define DK_ANSWERS_hand_start "no", "yes"
#define DK_ANSWERS_inlet_valve "yes", "no"
#define DK_ANSWERS_injection "inline_pump", "rotary_pump", "unit", "common_rail"

enum
{
#define X(id, question) DK_INSTALL_##id,
	DK_INSTALL_LIST(X)
#undef X
	    DK_INSTALL_COUNT
};

enum
{
	DK_INSTALL_ANSWERS = 6
};

typedef struct dk_install_row
{
	const char *id, *question;
	const char *answer[DK_INSTALL_ANSWERS]; // NULL after the last
} dk_install_row;
extern const dk_install_row dk_install_info[DK_INSTALL_COUNT];

// Answers of one boat: installed[DK_INSTALL_...] is an index into that question's answers.
typedef struct dk_installation
{
	int answer[DK_INSTALL_COUNT];
	unsigned char given[DK_INSTALL_COUNT]; // 0: the record was silent and the first answer was taken
} dk_installation;

// Index of a question, or of an answer of a question; -1 when there is none.
int dk_install_find(const char *question);
int dk_install_answer_find(int question, const char *answer);

// The first answers, none given.
dk_installation dk_default_installation(void);
