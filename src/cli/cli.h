/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CLI_H
#define FLOURGOLD_CLI_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/complaints.h"
#include "flourgold/ensemble.h"
#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "flourgold/tune.h"
#include "input/counts_csv.h"
#include "report/report.h"

/* Exit codes of the program. */
enum {
  FG_EXIT_DONE = 0,
  FG_EXIT_NO_ANSWER = 1, /* the model has none: the deck stalls ... */
  FG_EXIT_WRONG = 2,     /* command line, scenario or files */
  FG_EXIT_MACHINE = 3    /* this machine has no memory or threads left */
};

typedef struct fg_call fg_call;

/* What an option takes; its value is checked when the command line is read. */
typedef enum fg_option_kind {
  FG_TAKES_NOTHING = 0,
  FG_TAKES_TEXT,     /* the command reads it */
  FG_TAKES_TEXTS,    /* the same, of an option that may be repeated */
  FG_TAKES_SETTING,  /* a setting and its value, "group.key=value"; may be repeated */
  FG_TAKES_FILE,     /* the name of a file that is read */
  FG_TAKES_TARGET,   /* the name of a file that is written */
  FG_TAKES_PICTURE,  /* the same, its data beside it with ".csv" behind the name */
  FG_TAKES_WHOLE,    /* a whole number from `least` to `most` */
  FG_TAKES_NUMBER,   /* a plain number from `least` to `most` */
  FG_TAKES_QUANTITY, /* a value with its unit, from `least` to `most` in SI */
  FG_TAKES_MEASURED, /* the same, perhaps with its error: "120 mg +- 5 mg" */
  FG_TAKES_DATES,    /* a day, 2024-03-15; may be repeated */
  FG_TAKES_PAIR,     /* two numbers with a comma between */
  FG_TAKES_CHOICE,   /* one of `choices` */
  FG_TAKES_NAMES,    /* some of `choices`, with commas between */
  FG_TAKES_DATED,    /* a day and a percentage, 2024-03-15=4.5%; may be repeated */
  FG_TAKES_PERCENTS, /* percentages from `least` to `most`, with commas between */
  FG_TAKES_MINERALS, /* names of minerals, with commas between */
  FG_TAKES_COLUMN,   /* the name of a column or an element */
  FG_TAKES_VARIOGRAM /* a model and its figures */
} fg_option_kind;

/* An option.  `value` is the word that stands for its value in the help, NULL for a flag.  Help,
 * manual pages, completion and the protection of files are made from these rows. */
typedef struct fg_option {
  const char *name;  /* "--laws" */
  const char *brief; /* "-o", or NULL */
  const char *value;
  const char *meaning;
  const char *const *choices; /* ended by NULL */
  double least, most;
  fg_option_kind kind;
  fg_quantity quantity;
} fg_option;

#define FG_BRIEFLY(brief, name, value, meaning, kind)                                              \
  { name, brief, value, meaning, NULL, 0.0, 0.0, kind, FG_Q_NUMBER }
#define FG_OF_KIND(name, value, meaning, kind) FG_BRIEFLY(NULL, name, value, meaning, kind)
#define FG_FLAG(name, meaning) FG_OF_KIND(name, NULL, meaning, FG_TAKES_NOTHING)
#define FG_TEXT(name, value, meaning) FG_OF_KIND(name, value, meaning, FG_TAKES_TEXT)
#define FG_TEXTS(name, value, meaning) FG_OF_KIND(name, value, meaning, FG_TAKES_TEXTS)
#define FG_READS(name, value, meaning) FG_OF_KIND(name, value, meaning, FG_TAKES_FILE)
#define FG_WRITES(name, value, meaning) FG_OF_KIND(name, value, meaning, FG_TAKES_TARGET)
#define FG_DATES(name, value, meaning) FG_OF_KIND(name, value, meaning, FG_TAKES_DATES)
#define FG_PAIR(name, value, meaning) FG_OF_KIND(name, value, meaning, FG_TAKES_PAIR)
#define FG_PICTURE(name, value, meaning) FG_OF_KIND(name, value, meaning, FG_TAKES_PICTURE)
#define FG_WHOLE(name, value, meaning, least, most)                                                \
  { name, NULL, value, meaning, NULL, least, most, FG_TAKES_WHOLE, FG_Q_NUMBER }
#define FG_NUMBER(name, value, meaning, least, most)                                               \
  { name, NULL, value, meaning, NULL, least, most, FG_TAKES_NUMBER, FG_Q_NUMBER }
#define FG_QUANTITY(name, value, meaning, quantity, least, most)                                   \
  { name, NULL, value, meaning, NULL, least, most, FG_TAKES_QUANTITY, quantity }
#define FG_MEASURED(name, value, meaning, quantity, least, most)                                   \
  { name, NULL, value, meaning, NULL, least, most, FG_TAKES_MEASURED, quantity }
#define FG_CHOICE(name, value, meaning, choices)                                                   \
  { name, NULL, value, meaning, choices, 0.0, 0.0, FG_TAKES_CHOICE, FG_Q_NUMBER }
#define FG_NAMES(name, value, meaning, choices)                                                    \
  { name, NULL, value, meaning, choices, 0.0, 0.0, FG_TAKES_NAMES, FG_Q_NUMBER }
#define FG_PERCENTS(name, value, meaning, least, most)                                             \
  { name, NULL, value, meaning, NULL, least, most, FG_TAKES_PERCENTS, FG_Q_PERCENT }
#define FG_NO_OPTION FG_OF_KIND(NULL, NULL, NULL, FG_TAKES_NOTHING) /* ends a list */

typedef enum fg_files { FG_FILES_NONE = 0, FG_FILES_ONE, FG_FILES_MANY } fg_files;

/* What the plain words before the files are. */
typedef enum fg_word_kind {
  FG_WORD_OTHER = 0,
  FG_WORD_FILE, /* the name of a file that is read */
  FG_WORD_PICTURE,
  FG_WORD_FORMULA, /* and then its name=value pairs */
  FG_WORD_KEY,     /* of a setting, or a pattern */
  FG_WORD_COMMAND,
  FG_WORD_TOPIC /* of the help: a command, or one of its topics */
} fg_word_kind;

/* One row of the command table.  A command line is its `words`, then its files;
 * options stand anywhere. */
typedef struct fg_command {
  const char *name;
  const char *group;         /* heading in the list of commands */
  const char *summary;       /* one line, no full stop */
  const char *usage;         /* what follows the name: "[OPTION]... SCENARIO" */
  const char *example;       /* a whole command line */
  const char *details;       /* paragraphs, parted by "\n" */
  int words_least;           /* plain words before the files, at least ... */
  int words_most;            /* ... and at most; -1: any number (then no files) */
  const char *word;          /* what the words are, for messages: "NAME" */
  fg_word_kind word_kind;    /* what they are, for completion and overwriting */
  fg_files files;            /* scenario files; with FG_FILES_NONE --set is refused */
  bool picture;              /* --output is required and --format refused */
  const fg_option *options;  /* own options, ended by a NULL name; may be NULL */
  int (*run)(fg_call *call); /* NULL: help, which prints this table */
} fg_command;

extern const fg_command fg_commands[];
extern const size_t fg_commands_count;
/* The options every command knows, ended by a NULL name. */
extern const fg_option fg_common_options[];

/* Data of a command that may be null in JSON: names with blanks between, * for any text, places in
 * lists left out ("gold.share"); and what it means. */
typedef struct fg_null {
  const char *command, *names, *meaning;
} fg_null;

extern const fg_null fg_nulls[]; /* ended by NULL */

/* Row of a command, or NULL. */
const fg_command *fg_command_find(const char *name);

/* Whether a command takes this option, one of its own or a common one. */
bool fg_option_applies(const fg_command *command, const fg_option *option);

/* Whether an option may be given more than once; of others the last one counts. */
bool fg_option_repeats(const fg_option *option);

/* What an option does, in a sentence without a full stop.  Returns buffer. */
const char *fg_option_meaning(const fg_option *option, char *buffer, size_t size);

/* An option as given. */
typedef struct fg_given {
  const fg_option *option;
  const char *value; /* "" for a flag */
  double number;     /* as read: a number (SI), a day, the index of a choice, the first of a pair */
  double second;     /* of a pair, the share of a day, or the error of a measured value (0: none) */
} fg_given;

/* A read command line. The strings belong to argv. */
struct fg_call {
  const fg_command *command;
  const char **words; /* plain words: calc's NAME key=value ..., plot's NAME */
  size_t word_count;
  const char **files; /* scenario files */
  size_t file_count;
  const char **sets; /* each "group.key=value" */
  size_t set_count;
  fg_given *given; /* own options, in their order */
  size_t given_count;
  fg_unit_system units;
  bool units_given;
  fg_format format;
  const char *output; /* NULL: standard output */
  bool help;
  bool full;  /* all of a report, not its short form */
  bool quiet; /* no word of how far it is */
};

/* Reads argv (program name first) into *call.  Returns true, or false with a line
 * for the user in message[size].  Free with fg_call_free() either way. */
bool fg_call_read(fg_call *call, int argc, char **argv, char *message, size_t size);
void fg_call_free(fg_call *call);

/* Whether none of the files that the call writes is one that it reads, or is written twice; false
 * with a line for the user in message[size].  fg_call_read() has seen to it for the files that the
 * command line names; once others were read (catalogue, included files), ask again. */
bool fg_call_spares_inputs(const fg_call *call, char *message, size_t size);

/* Whether --output names nothing that is there yet, or --force was given; 0, or the exit code
 * after a message. */
int fg_call_keeps_old(const fg_call *call);

/* Value of an own option, "" for a flag that was given, NULL when it was not; the
 * last one counts. */
const char *fg_call_option(const fg_call *call, const char *name);
/* Whether an own option was given. */
bool fg_call_flag(const fg_call *call, const char *name);
/* Number (SI) of an own option, or the index of its choice; `usual` when it was not given. */
double fg_call_number(const fg_call *call, const char *name, double usual);

/* The same with the second number of a pair, or the error, in *second.  False when not given. */
bool fg_call_pair(const fg_call *call, const char *name, double *first, double *second);
/* The shares that an own option of percentages lists, at most `most` of them; 0 when not given. */
size_t fg_call_percents(const fg_call *call, const char *name, double shares[], size_t most);

/* The choices that an own option of names lists, in their order, as indices; 0 when not given.
 * `found` has room for all of them. */
size_t fg_call_names(const fg_call *call, const char *name, int found[]);

/* Reads the first scenario file with --set applied.  Prints every complaint to stderr.
 * Returns 0, or the exit code. */
int fg_call_scenario(const fg_call *call, fg_scenario *scenario);
/* The same for file number `index`, from 0. */
int fg_call_scenario_at(const fg_call *call, size_t index, fg_scenario *scenario);

/* Says why the model could not be run on a scenario at all (a stall is an answer);
 * returns FG_EXIT_WRONG. */
int fg_call_unsolved(const fg_scenario *scenario, fg_status status);

/* How many runs stand behind the bands of a command that knows --samples, --seed and --exact
 * (FG_ENSEMBLE_OPTIONS in its option list). */
typedef struct fg_ensemble_choice {
  bool exact;
  size_t samples;
  unsigned long seed;
} fg_ensemble_choice;

enum { FG_SAMPLES_LEAST = 8 };
#define FG_SEED_OPTION FG_WHOLE("--seed", "S", "seed of the draws (default 1)", 0, 4294967294.0)
#define FG_SAMPLES_OPTION(meaning)                                                                 \
  FG_WHOLE("--samples", "N", meaning, FG_SAMPLES_LEAST, FG_SAMPLES_MAX)
#define FG_ENSEMBLE_OPTIONS                                                                        \
  FG_SAMPLES_OPTION("runs with every doubtful input drawn anew (default 256)"), FG_SEED_OPTION,    \
      FG_FLAG("--exact", "the nominal run alone, without bands")

/* Reads those options.  Returns 0, or the exit code after a message. */
int fg_call_ensemble(const fg_call *call, fg_ensemble_choice *choice);

/* Choices of --aim, in the order of fg_aim; ended by NULL. */
extern const char *const fg_aim_names[];

/* Renders the report in the wanted format and units, writes it to stdout or
 * --output, and frees it.  Returns exit_code, or FG_EXIT_WRONG after a message when
 * that failed.  `report` may be NULL (memory ran out). */
int fg_call_emit(const fg_call *call, fg_report *report, int exit_code);

/* Prints "flourgold: ..." and a newline to stderr; returns FG_EXIT_WRONG, the second
 * FG_EXIT_NO_ANSWER. */
int fg_call_fail(const char *format, ...) __attribute__((format(printf, 1, 2)));
int fg_call_no_answer(const char *format, ...) __attribute__((format(printf, 1, 2)));

/* Reads a day (fg_date_read()); says on stderr how one was taken that might be meant otherwise. */
fg_status fg_call_date(const char *option, const char *text, int *day);

/* Ends the reading of a file: prints every complaint, or the status where there is none, and frees
 * them.  Returns 0 when the status is FG_OK, else FG_EXIT_WRONG. */
int fg_call_complain(const char *path, fg_status status, fg_complaints *complaints);

/* Reads the counts of a sample or of tailings.  Returns 0, or the exit code after messages. */
int fg_call_counts(const char *path, const fg_scenario *scenario, fg_counts *counts);

/* Prints the help of the call's command, or does what the command `help` asks.  Returns the exit
 * code. */
int fg_help(const fg_call *call);

/* What the program is for, in one sentence. */
extern const char fg_purpose[];

int fg_cmd_check(fg_call *call);
int fg_cmd_measure(fg_call *call);
int fg_cmd_start(fg_call *call);
int fg_cmd_keys(fg_call *call);
int fg_cmd_settle(fg_call *call);
int fg_cmd_loss(fg_call *call);
int fg_cmd_tune(fg_call *call);
int fg_cmd_dry(fg_call *call);
int fg_cmd_doubts(fg_call *call);
int fg_cmd_blowers(fg_call *call);
int fg_cmd_cleanup(fg_call *call);
int fg_cmd_day(fg_call *call);
int fg_cmd_verdict(fg_call *call);
int fg_cmd_card(fg_call *call);
int fg_cmd_plot(fg_call *call);
int fg_cmd_calc(fg_call *call);
int fg_cmd_sample(fg_call *call);
int fg_cmd_streaks(fg_call *call);

#endif
