/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "docs/man.h"

#include <stdio.h>
#include <stdlib.h>

#include "docs/roff.h"
#include "physics/grains.h"

const char *fg_man_name(const fg_command *command, char buffer[FG_MAN_NAME]) {
  snprintf(buffer, FG_MAN_NAME, "flourgold-%s", command->name);
  return buffer;
}

void fg_docs_each_option(const fg_command *command,
                         void (*each)(fg_text *text, const fg_command *command,
                                      const fg_option *option),
                         fg_text *text) {
  for (const fg_option *o = command ? command->options : NULL; o && o->name; ++o)
    each(text, command, o);
  for (const fg_option *o = fg_common_options; o->name; ++o)
    if (!command || fg_option_applies(command, o))
      each(text, command, o);
}

/* What the value of an option may be. */
static void add_allowed(fg_text *page, const fg_option *option) {
  fg_text range = {0};
  char low[64], high[64];
  if (option->kind == FG_TAKES_WHOLE)
    fg_text_printf(&range, "a whole number from %.0f to %.0f", option->least, option->most);
  else if (option->kind == FG_TAKES_NUMBER)
    fg_text_printf(&range, "a number from %g to %g", option->least, option->most);
  else if (option->kind == FG_TAKES_DATES)
    fg_text_add(&range, "a day as 2024-03-15 or 3/15/2024");
  else if (option->kind == FG_TAKES_DATED)
    fg_text_add(&range, "a day, = and a percentage from 0 to 100, as 2024-03-15=4.5%");
  else if (option->kind == FG_TAKES_PERCENTS)
    fg_text_printf(&range, "percentages from %g to %g with commas between", option->least,
                   option->most);
  else if (option->kind == FG_TAKES_MINERALS)
    for (size_t i = 0; i < fg_minerals_count; ++i)
      fg_text_printf(&range, "%s%s", i > 0 ? ", " : "", fg_minerals[i].name);
  else if (option->kind == FG_TAKES_PAIR)
    fg_text_add(&range, "two numbers with a comma between");
  else if (option->kind == FG_TAKES_QUANTITY || option->kind == FG_TAKES_MEASURED)
    fg_text_printf(&range, "%s to %s, with its unit: %s",
                   fg_quantity_text(option->quantity, FG_UNITS_US, option->least, low, sizeof low),
                   fg_quantity_text(option->quantity, FG_UNITS_US, option->most, high, sizeof high),
                   fg_quantity_of(option->quantity)->accepts);
  else
    for (size_t i = 0; option->choices && option->choices[i]; ++i)
      fg_text_printf(&range, "%s%s", i > 0 ? ", " : "", option->choices[i]);
  char *text = fg_text_take(&range, NULL);
  if (text && *text != '\0')
    fg_roff_labelled(page, "Allowed", text);
  free(text);
}

static void add_option(fg_text *page, const fg_command *command, const fg_option *option) {
  (void)command;
  fg_roff_entry(page);
  if (option->brief) {
    fg_roff_bold(page, option->brief);
    fg_roff_add(page, ", ");
  }
  fg_roff_bold(page, option->name);
  if (option->value) {
    fg_roff_add(page, " ");
    fg_roff_italic(page, option->value);
  }
  fg_roff_end(page);
  char meaning[256];
  fg_roff_line(page, fg_option_meaning(option, meaning, sizeof meaning));
  add_allowed(page, option);
}

void fg_man_options(fg_text *page, const fg_command *command) {
  fg_roff_section(page, "OPTIONS");
  fg_docs_each_option(command, add_option, page);
}

void fg_man_exit_status(fg_text *page) {
  static const char *const meanings[] = {
      [FG_EXIT_DONE] = "The result is there.",
      [FG_EXIT_NO_ANSWER] = "The model has no answer: the deck stalls.",
      [FG_EXIT_WRONG] = "The command line, the scenario or another file is wrong; the message says "
                        "where, and what would be right.",
      [FG_EXIT_MACHINE] = "This machine has no threads or memory left.",
  };
  fg_roff_section(page, "EXIT STATUS");
  for (size_t i = 0; i < sizeof meanings / sizeof meanings[0]; ++i) {
    fg_roff_entry(page);
    fg_text_printf(page, "%zu\n", i);
    fg_roff_line(page, meanings[i]);
  }
}
