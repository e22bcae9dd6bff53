/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/calc.h"
#include "docs/docs.h"
#include "scenario/settings_table.h"

/* A table is a shell function: case "$*" in 'the question') echo the answer ;; esac.  The answer to
 * what may stand in a place is a kind (file, text, setting, inputs, one) and, for one, its words.
 */

static void begin(fg_text *script, const char *table) {
  fg_text_printf(script, "%s() {\n  case \"$*\" in\n", table);
}

static void end(fg_text *script) { fg_text_add(script, "  esac\n}\n\n"); }

static void add_list(fg_text *script, const char *const *words) {
  for (; words && *words; ++words)
    fg_text_printf(script, " %s", *words);
}

static void add_name(fg_text *script, const fg_command *command, const fg_option *option) {
  (void)command;
  fg_text_printf(script, " %s%s%s", option->brief ? option->brief : "", option->brief ? " " : "",
                 option->name);
}

static void add_options(fg_text *script) {
  begin(script, "_flourgold_options");
  for (size_t i = 0; i < fg_commands_count; ++i) {
    fg_text_printf(script, "    %s) echo", fg_commands[i].name);
    fg_docs_each_option(&fg_commands[i], add_name, script);
    fg_text_add(script, " ;;\n");
  }
  fg_text_add(script, "    '') echo");
  fg_docs_each_option(NULL, add_name, script);
  fg_text_add(script, " --version ;;\n");
  end(script);
}

static const char *kind_word(fg_option_kind kind) {
  switch (kind) {
  case FG_TAKES_FILE:
  case FG_TAKES_TARGET:
  case FG_TAKES_PICTURE:
    return "file";
  case FG_TAKES_SETTING:
    return "setting";
  case FG_TAKES_CHOICE:
  case FG_TAKES_NAMES:
    return "one";
  default:
    return "text";
  }
}

static void add_value(fg_text *script, const fg_command *command, const fg_option *option) {
  const char *name = command ? command->name : "";
  if (option->kind == FG_TAKES_NOTHING)
    return;
  fg_text_printf(script, "    '%s %s'", name, option->name);
  if (option->brief)
    fg_text_printf(script, " | '%s %s'", name, option->brief);
  fg_text_printf(script, ") echo %s", kind_word(option->kind));
  add_list(script, option->choices);
  fg_text_add(script, " ;;\n");
}

static void add_values(fg_text *script) {
  begin(script, "_flourgold_value");
  for (size_t i = 0; i < fg_commands_count; ++i)
    fg_docs_each_option(&fg_commands[i], add_value, script);
  fg_docs_each_option(NULL, add_value, script);
  end(script);
}

static void add_place(fg_text *script, const fg_command *command) {
  const char *name = command->name;
  const int words = command->words_most < 0 ? 1 : command->words_most;
  for (int i = 0; i < words; ++i) {
    fg_text_printf(script, "    '%s %d') echo %s", name, i,
                   command->word_kind == FG_WORD_FILE ? "file" : "one");
    fg_docs_words(script, " ", "", command->word_kind);
    fg_text_add(script, " ;;\n");
  }
  if (command->words_most < 0)
    fg_text_printf(script, "    '%s '*) echo inputs ;;\n", name);
  else if (command->files == FG_FILES_ONE)
    fg_text_printf(script, "    '%s %d') echo file ;;\n", name, words);
  else if (command->files == FG_FILES_MANY)
    fg_text_printf(script, "    '%s '*) echo file ;;\n", name);
}

static void add_places(fg_text *script) {
  begin(script, "_flourgold_place");
  for (size_t i = 0; i < fg_commands_count; ++i)
    add_place(script, &fg_commands[i]);
  fg_text_add(script, "    ' 0') echo one");
  fg_docs_words(script, " ", "", FG_WORD_COMMAND);
  fg_text_add(script, " ;;\n");
  end(script);
}

static void add_inputs(fg_text *script) {
  begin(script, "_flourgold_inputs");
  for (size_t i = 0; i < fg_calcs_count; ++i) {
    fg_text_printf(script, "    %s) echo", fg_calcs[i]->name);
    for (size_t k = 0; k < fg_calc_input_count(fg_calcs[i]); ++k)
      fg_text_printf(script, " %s=", fg_calcs[i]->inputs[k].name);
    fg_text_add(script, " ;;\n");
  }
  end(script);
}

/* Keys for '', and the words that a key takes. */
static void add_settings(fg_text *script) {
  begin(script, "_flourgold_setting");
  fg_text_add(script, "    '') echo");
  fg_docs_words(script, " ", "=", FG_WORD_KEY);
  fg_text_add(script, " ;;\n");
  for (size_t i = 0; i < fg_settings_count; ++i) {
    if (fg_settings[i].type != FG_T_CHOICE)
      continue;
    fg_text_printf(script, "    %s) echo", fg_settings[i].key);
    add_list(script, fg_settings[i].choices);
    fg_text_add(script, " ;;\n");
  }
  end(script);
}

void fg_docs_bash_tables(fg_text *script) {
  fg_text_add(script,
              "# Completion of flourgold in bash.  The tables are made from the program's.\n\n");
  add_options(script);
  add_values(script);
  add_places(script);
  add_inputs(script);
  add_settings(script);
}
