/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Reading the command line. */
#include <errno.h>
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/cli.h"
#include "core/csv_rows.h"
#include "core/date.h"
#include "core/nearest.h"
#include "core/number.h"
#include "flourgold/quantity.h"
#include "flourgold/status.h"
#include "physics/grains.h"
#include "stats/variogram.h"

enum { NAMES_MAX = 32 };

static const char *const unit_names[] = {"us", "si", NULL};
static const char *const format_names[] = {"text", "json", "csv", NULL};

const fg_option fg_common_options[] = {
    FG_OF_KIND("--set", "group.key=value", "change one setting for this run", FG_TAKES_SETTING),
    FG_CHOICE("--units", "us|si", "units for people (data is always SI): us unless given",
              unit_names),
    FG_CHOICE("--format", "text|json|csv", "how the result is written: text unless given",
              format_names),
    FG_FLAG("--full", "all of a report; without it the answer, and what shows it"),
    FG_FLAG("--quiet", "no word on the terminal of how far long work is"),
    FG_BRIEFLY("-o", "--output", "FILE", "write to FILE instead of the screen", FG_TAKES_TARGET),
    FG_BRIEFLY("-h", "--help", NULL, "this help", FG_TAKES_NOTHING),
    FG_NO_OPTION,
};

/* Where the reading of argv stands. */
typedef struct fg_reader {
  fg_call *call;
  const char **plain; /* arguments that are no options, the command's name left out */
  size_t plain_count;
  char *message;
  size_t size;
} fg_reader;

static bool complain(const fg_reader *reader, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Writes the message; returns false for the caller to pass on. */
static bool complain(const fg_reader *reader, const char *format, ...) {
  va_list list;
  va_start(list, format);
  (void)vsnprintf(reader->message, reader->size, format, list);
  va_end(list);
  return false;
}

static const fg_option *find_in(const fg_option *options, const char *name, size_t length) {
  for (; options && options->name; ++options)
    if (strlen(options->name) == length && strncmp(options->name, name, length) == 0)
      return options;
  return NULL;
}

/* "-o" and "-h" are short for the long names. */
static const char *long_name(const char *argument) {
  for (const fg_option *option = fg_common_options; option->name; ++option)
    if (option->brief && strcmp(argument, option->brief) == 0)
      return option->name;
  return argument;
}

/* Whether an argument asks for an option rather than being "-" or a plain word. */
static bool is_option(const char *argument) { return argument[0] == '-' && argument[1] != '\0'; }

/* Whether the option takes the argument behind it, in any command. */
static bool takes_next(const char *argument) {
  const char *name = long_name(argument);
  size_t length = strlen(name);
  const fg_option *option = find_in(fg_common_options, name, length);
  for (size_t i = 0; !option && i < fg_commands_count; ++i)
    option = find_in(fg_commands[i].options, name, length);
  return option && option->value;
}

/* Place of the command's name in argv, 0 when there is none. */
static int command_place(int argc, char **argv) {
  for (int i = 1; i < argc; ++i) {
    if (!is_option(argv[i]))
      return i;
    if (strcmp(argv[i], "--") == 0)
      return i + 1 < argc ? i + 1 : 0;
    if (takes_next(argv[i]))
      ++i;
  }
  return 0;
}

static bool unknown_command(const fg_reader *reader, const char *name) {
  const char *names[NAMES_MAX + 1] = {NULL};
  for (size_t i = 0; i < fg_commands_count && i < NAMES_MAX; ++i)
    names[i] = fg_commands[i].name;
  const char *near = fg_nearest(name, names);
  if (near)
    return complain(reader, "there is no command '%s'; did you mean '%s'?", name, near);
  return complain(reader, "there is no command '%s'; 'flourgold help' lists them", name);
}

static bool unknown_option(const fg_reader *reader, const char *name) {
  const char *names[NAMES_MAX + 1] = {NULL};
  const char *command = reader->call->command->name;
  size_t count = 0;
  for (const fg_option *o = reader->call->command->options; o && o->name; ++o)
    if (count < NAMES_MAX)
      names[count++] = o->name;
  for (const fg_option *o = fg_common_options; o->name && count < NAMES_MAX; ++o)
    names[count++] = o->name;
  const char *near = fg_nearest(name, names);
  if (near)
    return complain(reader, "%s has no option '%s'; did you mean '%s'?", command, name, near);
  if (strcmp(command, "help") == 0)
    return complain(reader, "there is no option '%s'; 'flourgold help' lists the commands", name);
  return complain(reader, "%s has no option '%s'; 'flourgold help %s' lists them", command, name,
                  command);
}

/* "gate, slope or feed" */
static void list_all(const char *const *list, const char *last, char *all, size_t size) {
  all[0] = '\0';
  for (int i = 0; list[i]; ++i) {
    const size_t used = strlen(all);
    (void)snprintf(all + used, size - used, "%s%s",
                   i == 0         ? ""
                   : !list[i + 1] ? last
                                  : ", ",
                   list[i]);
  }
}

/* Index of `value` in a NULL-terminated list, or -1 with a message. */
static int choose(const fg_reader *reader, const char *option, const char *value,
                  const char *const *list) {
  for (int i = 0; list[i]; ++i)
    if (strcmp(value, list[i]) == 0)
      return i;
  char all[128];
  list_all(list, " or ", all, sizeof all);
  const char *near = fg_nearest(value, list);
  complain(reader, "%s is '%s'; it must be %s%s%s%s", option, value, all,
           near ? "; did you mean " : "", near ? near : "", near ? "?" : "");
  return -1;
}

static bool use_set(const fg_reader *reader, const char *value) {
  fg_call *call = reader->call;
  if (call->command->files == FG_FILES_NONE)
    return complain(reader, "--set: '%s' reads no scenario, so there is nothing to set",
                    call->command->name);
  call->sets[call->set_count++] = value;
  return true;
}

static bool use_common(const fg_reader *reader, const fg_option *option, const char *value) {
  fg_call *call = reader->call;
  if (strcmp(option->name, "--help") == 0) {
    call->help = true;
    return true;
  }
  if (strcmp(option->name, "--quiet") == 0) {
    call->quiet = true;
    return true;
  }
  if (strcmp(option->name, "--full") == 0) {
    call->full = true;
    return !call->command->picture ||
           complain(reader, "%s writes a picture, so --full does not apply", call->command->name);
  }
  if (strcmp(option->name, "--set") == 0)
    return use_set(reader, value);
  if (strcmp(option->name, "--units") == 0) {
    int index = choose(reader, option->name, value, unit_names);
    call->units = index == 1 ? FG_UNITS_SI : FG_UNITS_US;
    call->units_given = true;
    return index >= 0;
  }
  if (strcmp(option->name, "--format") == 0) {
    if (call->command->picture)
      return complain(reader,
                      "%s writes a picture, so --format does not apply; the ending of "
                      "--output says which kind",
                      call->command->name);
    int index = choose(reader, option->name, value, format_names);
    call->format = index == 2 ? FG_FORMAT_CSV : index == 1 ? FG_FORMAT_JSON : FG_FORMAT_TEXT;
    return index >= 0;
  }
  if (value[0] == '\0')
    return complain(reader, "--output needs the name of a file");
  call->output = value;
  return true;
}

/* Reads the option in `argument`; `next` is what follows it or NULL.  *took says that
 * `next` was its value. */
static bool read_option(const fg_reader *reader, const char *argument, const char *next,
                        bool *took) {
  const char *name = long_name(argument);
  const char *equals = name[1] == '-' ? strchr(name, '=') : NULL;
  size_t length = equals ? (size_t)(equals - name) : strlen(name);
  const fg_option *common = find_in(fg_common_options, name, length);
  const fg_option *option = common ? common : find_in(reader->call->command->options, name, length);
  *took = false;
  if (!option) {
    char word[64];
    (void)snprintf(word, sizeof word, "%.*s", length < 60 ? (int)length : 60, name);
    return unknown_option(reader, word);
  }
  const char *value = "";
  if (!option->value && equals)
    return complain(reader, "%s takes no value", option->name);
  if (option->value && equals)
    value = equals + 1;
  else if (option->value) {
    if (!next || strncmp(next, "--", 2) == 0)
      return complain(reader, "%s needs a value: %s %s", argument, argument, option->value);
    value = next;
    *took = true;
  }
  if (common)
    return use_common(reader, option, value);
  reader->call->given[reader->call->given_count++] = (fg_given){option, value, (double)NAN, 0.0};
  return true;
}

static bool read_whole(const fg_reader *reader, fg_given *given) {
  const fg_option *option = given->option;
  char *end = NULL;
  errno = 0;
  const unsigned long number = strtoul(given->value, &end, 10);
  given->number = (double)number;
  if (errno != 0 || given->value[0] < '0' || given->value[0] > '9' || *end != '\0')
    return complain(reader, "%s: \"%.40s\" is not a whole number from %.0f to %.0f", option->name,
                    given->value, option->least, option->most);
  if (given->number >= option->least && given->number <= option->most)
    return true;
  return complain(reader, "%s: %.40s is out of range; allowed: %.0f to %.0f", option->name,
                  given->value, option->least, option->most);
}

static bool read_number(const fg_reader *reader, fg_given *given) {
  const fg_option *option = given->option;
  const char *text = given->value;
  char *end = NULL;
  const size_t plain = strspn(text, "+-.0123456789eE");
  given->number = strtod(text, &end);
  if (text[0] == '\0' || text[plain] != '\0' || *end != '\0')
    return complain(reader, "%s: \"%.40s\" is not a plain number (%s)", option->name, text,
                    option->meaning);
  if (given->number >= option->least && given->number <= option->most)
    return true;
  return complain(reader, "%s: '%.40s' is out of range; allowed: %g to %g", option->name, text,
                  option->least, option->most);
}

static bool read_quantity(const fg_reader *reader, fg_given *given) {
  const fg_option *option = given->option;
  const fg_unit_system units = reader->call->units;
  char message[256], low[64], high[64];
  const fg_status status =
      option->kind == FG_TAKES_MEASURED
          ? fg_quantity_parse_measured(given->value, option->quantity, &given->number,
                                       &given->second, NULL, message, sizeof message)
          : fg_quantity_parse(given->value, option->quantity, &given->number, NULL, message,
                              sizeof message);
  if (status != FG_OK)
    return complain(reader, "%s: %s", option->name, message);
  if (given->number >= option->least && given->number <= option->most)
    return true;
  return complain(reader, "%s: '%.40s' is out of range; allowed: %s to %s", option->name,
                  given->value,
                  fg_quantity_text(option->quantity, units, option->least, low, sizeof low),
                  fg_quantity_text(option->quantity, units, option->most, high, sizeof high));
}

static bool read_date(const fg_reader *reader, fg_given *given) {
  int day = 0;
  if (fg_call_date(given->option->name, given->value, &day) != FG_OK)
    return complain(reader, "%s: '%.40s' is no day; write it as 2024-03-15 or 3/15/2024",
                    given->option->name, given->value);
  given->number = day;
  return true;
}

/* A day and its percentage, whose sign may be left out. */
static bool read_dated(const fg_reader *reader, fg_given *given) {
  enum { DATED_MAX = 128 };
  char date[DATED_MAX], percent[DATED_MAX + 4], message[256];
  const char *name = given->option->name, *equals = strchr(given->value, '=');
  int day = 0;
  if (!equals || strlen(given->value) >= DATED_MAX)
    return complain(reader, "%s: '%.40s' is not DATE=PERCENT; for example 2024-03-15=4.5%%", name,
                    given->value);
  (void)snprintf(date, sizeof date, "%.*s", (int)(equals - given->value), given->value);
  if (fg_call_date(name, date, &day) != FG_OK)
    return complain(reader, "%s: '%s' is no day; write it as 2024-03-15 or 3/15/2024", name, date);
  (void)snprintf(percent, sizeof percent, "%s%s", equals + 1, strchr(equals, '%') ? "" : " %");
  if (fg_quantity_parse(percent, FG_Q_PERCENT, &given->second, NULL, message, sizeof message) !=
      FG_OK)
    return complain(reader, "%s: %s", name, message);
  if (!(given->second >= 0.0 && given->second <= 1.0))
    return complain(reader, "%s: '%s' is out of range; allowed: 0 to 100 %% of dry weight", name,
                    given->value);
  given->number = day;
  return true;
}

/* Numbers with commas between, each perhaps with its %. */
static bool read_percents(const fg_reader *reader, fg_given *given) {
  static const char parting[] = ", %";
  const fg_option *option = given->option;
  const char *p = given->value + strspn(given->value, parting);
  if (*p == '\0')
    return complain(reader, "%s: name at least one, as in 0.5,1,2,3", option->name);
  while (*p != '\0') {
    const size_t length = strcspn(p, parting);
    char *end = NULL;
    const double percent = strtod(p, &end);
    if (strspn(p, "0123456789.") != length || end != p + length ||
        !(percent >= option->least && percent <= option->most))
      return complain(reader,
                      "%s: \"%.*s\" is not a percentage from %g to %g; write them as 0.5,1,2,3",
                      option->name, length < 40 ? (int)length : 40, p, option->least, option->most);
    p += length;
    p += strspn(p, parting);
  }
  return true;
}

/* Minerals of the table. */
static bool read_minerals(const fg_reader *reader, fg_given *given) {
  const char *names[64] = {NULL};
  for (size_t i = 0; i < fg_minerals_count && i + 1 < 64; ++i)
    names[i] = fg_minerals[i].name;
  size_t count = 0;
  for (const char *p = given->value; *p != '\0';) {
    const size_t length = strcspn(p, ", ");
    char word[64];
    (void)snprintf(word, sizeof word, "%.*s", length < 60 ? (int)length : 60, p);
    const char *near = length > 0 && !fg_grain_mineral(word) ? fg_nearest(word, names) : NULL;
    if (length > 0 && !fg_grain_mineral(word))
      return complain(reader, "%s: no mineral \"%s\"%s%s%s; `flourgold help settle` lists them",
                      given->option->name, word, near ? ", did you mean \"" : "", near ? near : "",
                      near ? "\"" : "");
    count += length > 0;
    p += length;
    p += strspn(p, ", ");
  }
  return count > 0 ||
         complain(reader, "%s: no mineral is named; `flourgold help settle` lists them",
                  given->option->name);
}

static bool read_column(const fg_reader *reader, fg_given *given) {
  if (strlen(given->value) >= FG_CSV_NAME_MAX)
    return complain(reader, "%s: a column's name has at most %d bytes", given->option->name,
                    FG_CSV_NAME_MAX - 1);
  for (const char *p = given->value; *p != '\0'; ++p)
    if ((unsigned char)*p < 0x20)
      return complain(reader, "%s: a column's name holds no control characters",
                      given->option->name);
  return true;
}

static bool read_variogram(const fg_reader *reader, fg_given *given) {
  char message[256];
  fg_variogram unused;
  return fg_variogram_parse(given->value, &unused, message, sizeof message) ||
         complain(reader, "%s: %s", given->option->name, message);
}

static bool read_pair(const fg_reader *reader, fg_given *given) {
  char message[256];
  return fg_pair_parse(given->value, &given->number, &given->second, message, sizeof message) ||
         complain(reader, "%s: %s", given->option->name, message);
}

static bool read_choice(const fg_reader *reader, fg_given *given) {
  const int index = choose(reader, given->option->name, given->value, given->option->choices);
  given->number = index;
  return index >= 0;
}

/* Every name must be one of the choices, and stand there once. */
static bool read_names(const fg_reader *reader, fg_given *given) {
  const fg_option *option = given->option;
  const char *const *choices = option->choices;
  char words[128], all[128], *rest = NULL;
  size_t taken = 0;
  list_all(choices, " and ", all, sizeof all);
  if (strlen(given->value) >= sizeof words)
    return complain(reader, "%s: the list is too long; there are %s", option->name, all);
  memcpy(words, given->value, strlen(given->value) + 1);
  for (char *word = strtok_r(words, ", ", &rest); word; word = strtok_r(NULL, ", ", &rest)) {
    int i = 0;
    while (choices[i] && strcmp(word, choices[i]) != 0)
      ++i;
    const char *near = choices[i] ? NULL : fg_nearest(word, choices);
    if (!choices[i])
      return complain(reader, "%s: there is no '%s'%s%s; there are %s", option->name, word,
                      near ? ", did you mean " : "", near ? near : "", all);
    if (taken & (size_t)1 << i)
      return complain(reader, "%s: '%.40s' names %s twice", option->name, given->value, word);
    taken |= (size_t)1 << i;
  }
  return taken != 0 || complain(reader, "%s: name at least one; there are %s", option->name, all);
}

static bool read_words(const fg_reader *reader, fg_given *given) {
  return given->value[0] != '\0' || complain(reader, "%s needs a value: %s %s", given->option->name,
                                             given->option->name, given->option->value);
}

/* Reads the values of the command's own options, each by its kind. */
static bool read_values(const fg_reader *reader) {
  static bool (*const read_as[])(const fg_reader *, fg_given *) = {
      [FG_TAKES_WHOLE] = read_whole,         [FG_TAKES_NUMBER] = read_number,
      [FG_TAKES_QUANTITY] = read_quantity,   [FG_TAKES_MEASURED] = read_quantity,
      [FG_TAKES_DATES] = read_date,          [FG_TAKES_PAIR] = read_pair,
      [FG_TAKES_CHOICE] = read_choice,       [FG_TAKES_NAMES] = read_names,
      [FG_TAKES_DATED] = read_dated,         [FG_TAKES_PERCENTS] = read_percents,
      [FG_TAKES_MINERALS] = read_minerals,   [FG_TAKES_COLUMN] = read_column,
      [FG_TAKES_VARIOGRAM] = read_variogram,
  };
  for (size_t i = 0; i < reader->call->given_count; ++i) {
    fg_given *given = &reader->call->given[i];
    const fg_option_kind kind = given->option ? given->option->kind : FG_TAKES_NOTHING;
    if (kind == FG_TAKES_NOTHING)
      continue;
    if (!read_words(reader, given) || (read_as[kind] && !read_as[kind](reader, given)))
      return false;
  }
  return true;
}

static bool read_arguments(fg_reader *reader, int argc, char **argv, int command) {
  bool options = true;
  for (int i = 1; i < argc; ++i) {
    bool took = false;
    if (options && strcmp(argv[i], "--") == 0)
      options = false;
    else if (options && is_option(argv[i])) {
      if (!read_option(reader, argv[i], i + 1 < argc ? argv[i + 1] : NULL, &took))
        return false;
    } else if (i != command)
      reader->plain[reader->plain_count++] = argv[i];
    i += took;
  }
  return true;
}

/* Parts the plain arguments into words and files. */
static bool sort_plain(const fg_reader *reader) {
  fg_call *call = reader->call;
  const fg_command *command = call->command;
  size_t count = reader->plain_count;
  size_t most = command->words_most < 0 ? count : (size_t)command->words_most;
  call->words = reader->plain;
  call->word_count = count < most ? count : most;
  call->files = reader->plain + call->word_count;
  call->file_count = count - call->word_count;
  if (call->word_count < (size_t)command->words_least)
    return complain(reader, "%s needs %s: flourgold %s %s", command->name, command->word,
                    command->name, command->usage);
  if (command->files != FG_FILES_NONE && call->file_count == 0)
    return complain(reader, "%s needs a scenario file: flourgold %s %s", command->name,
                    command->name, command->usage);
  size_t files = command->files == FG_FILES_NONE ? 0 : command->files == FG_FILES_ONE ? 1 : count;
  if (call->file_count > files)
    return complain(reader, "'%s' is one too many%s: flourgold %s %s", call->files[files],
                    files == 1 ? "; run the command once for each scenario" : "", command->name,
                    command->usage);
  if (command->picture && !call->output)
    return complain(reader, "%s needs -o FILE for the picture: flourgold %s %s", command->name,
                    command->name, command->usage);
  return fg_call_spares_inputs(call, reader->message, reader->size);
}

bool fg_call_read(fg_call *call, int argc, char **argv, char *message, size_t size) {
  *call = (fg_call){0};
  fg_reader reader = {.call = call, .message = message, .size = size};
  int place = command_place(argc, argv);
  size_t room = (size_t)(argc > 0 ? argc : 0) + 1;
  const char **store = calloc(2 * room, sizeof *store);
  call->words = store;
  call->given = calloc(room, sizeof *call->given);
  if (!store || !call->given)
    return complain(&reader, "memory ran out");
  reader.plain = store;
  call->sets = store + room;
  const char *name = place > 0 ? argv[place] : "help";
  call->command = fg_command_find(name);
  if (!call->command)
    return unknown_command(&reader, name);
  if (!read_arguments(&reader, argc, argv, place))
    return false;
  if (place == 0 && !call->help)
    return complain(&reader, "which command? 'flourgold help' lists them");
  return call->help || (read_values(&reader) && sort_plain(&reader));
}

void fg_call_free(fg_call *call) {
  free((void *)call->words);
  free(call->given);
  *call = (fg_call){0};
}
