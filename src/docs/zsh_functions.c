/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/calc.h"
#include "docs/docs.h"
#include "scenario/settings_table.h"

/* Inside single quotes, with a backslash before each byte of `special`. */
static void add_quoted(fg_text *script, const char *string, const char *special) {
  for (; *string != '\0'; ++string) {
    if (*string == '\'')
      fg_text_add(script, "'\\'");
    for (const char *s = special; *s != '\0'; ++s)
      if (*s == *string)
        fg_text_add(script, "\\");
    fg_text_add_bytes(script, string, 1);
  }
}

/* What _arguments does for a value: "(us si)" or the name of a function. */
static void add_action(fg_text *script, const fg_option *option) {
  switch (option->kind) {
  case FG_TAKES_FILE:
  case FG_TAKES_TARGET:
  case FG_TAKES_PICTURE:
    fg_text_add(script, "_files");
    break;
  case FG_TAKES_SETTING:
    fg_text_add(script, "_flourgold_setting");
    break;
  case FG_TAKES_CHOICE:
    for (size_t i = 0; option->choices[i]; ++i)
      fg_text_printf(script, "%s%s", i > 0 ? " " : "(", option->choices[i]);
    fg_text_add(script, ")");
    break;
  case FG_TAKES_NAMES:
    fg_text_add(script, "_sequence compadd -");
    for (size_t i = 0; option->choices[i]; ++i)
      fg_text_printf(script, " %s", option->choices[i]);
    break;
  default:
    fg_text_add(script, " "); /* nothing to choose from: the message alone */
  }
}

/* An argument of _arguments: '--units=[meaning]:us|si:(us si)'. */
static void add_option(fg_text *script, const fg_command *command, const fg_option *option) {
  (void)command;
  const char *equals = option->value ? "=" : "";
  char meaning[256];
  fg_text_add(script, " \\\n    ");
  if (option->brief)
    fg_text_printf(script, "'(%s %s)'{%s,%s%s}'[", option->brief, option->name, option->brief,
                   option->name, equals);
  else
    fg_text_printf(script, "'%s%s%s[", fg_option_repeats(option) ? "*" : "", option->name, equals);
  add_quoted(script, fg_option_meaning(option, meaning, sizeof meaning), "[]\\");
  fg_text_add(script, "]");
  if (option->value) {
    fg_text_add(script, ":");
    add_quoted(script, option->value, ":\\");
    fg_text_add(script, ":");
    add_action(script, option);
  }
  fg_text_add(script, "'");
}

static void add_places(fg_text *script, const fg_command *command) {
  const int words = command->words_most < 0 ? 1 : command->words_most;
  for (int i = 0; i < words; ++i) {
    fg_text_add(script, " \\\n    ':");
    add_quoted(script, command->word, ":\\");
    if (command->word_kind == FG_WORD_FILE)
      fg_text_add(script, ":_files'");
    else {
      fg_text_add(script, ":(");
      fg_docs_words(script, "", " ", command->word_kind);
      fg_text_add(script, ")'");
    }
  }
  if (command->words_most < 0)
    fg_text_add(script, " \\\n    '*:input:_flourgold_input'");
  else if (command->files != FG_FILES_NONE)
    fg_text_printf(script, " \\\n    '%s:scenario file:_files'",
                   command->files == FG_FILES_MANY ? "*" : "");
}

static void add_commands(fg_text *script) {
  fg_text_add(script, "_flourgold_commands() {\n  local -a commands=(");
  for (size_t i = 0; i < fg_commands_count; ++i) {
    fg_text_printf(script, "\n    '%s:", fg_commands[i].name);
    add_quoted(script, fg_commands[i].summary, "\\");
    fg_text_add(script, "'");
  }
  fg_text_add(script, ")\n  _describe command commands\n}\n\n");
}

static void add_inputs(fg_text *script) {
  fg_text_add(script, "typeset -gA _flourgold_inputs=(");
  for (size_t i = 0; i < fg_calcs_count; ++i) {
    fg_text_printf(script, "\n  %s '", fg_calcs[i]->name);
    for (size_t k = 0; k < fg_calc_input_count(fg_calcs[i]); ++k)
      fg_text_printf(script, "%s%s", k > 0 ? " " : "", fg_calcs[i]->inputs[k].name);
    fg_text_add(script, "'");
  }
  fg_text_add(script, ")\n\n");
}

static void add_settings(fg_text *script) {
  fg_text_add(script, "typeset -gA _flourgold_settings=(");
  for (size_t i = 0; i < fg_settings_count; ++i) {
    fg_text_printf(script, "\n  %s '", fg_settings[i].key);
    for (size_t k = 0; fg_settings[i].choices && fg_settings[i].choices[k]; ++k)
      fg_text_printf(script, "%s%s", k > 0 ? " " : "", fg_settings[i].choices[k]);
    fg_text_add(script, "'");
  }
  fg_text_add(script, ")\n\n");
}

void fg_docs_zsh_functions(fg_text *script) {
  fg_text_add(script,
              "#compdef flourgold\n"
              "# Completion of flourgold in zsh.  The tables are made from the program's.\n\n");
  add_inputs(script);
  add_settings(script);
  add_commands(script);
  for (size_t i = 0; i < fg_commands_count; ++i) {
    fg_text_printf(script, "_flourgold_%s() {\n  _arguments", fg_commands[i].name);
    fg_docs_each_option(&fg_commands[i], add_option, script);
    add_places(script, &fg_commands[i]);
    fg_text_add(script, "\n}\n\n");
  }
}
