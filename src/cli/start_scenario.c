/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The scenario that the answers to `start` make. */
#include <string.h>

#include "cli/start.h"
#include "flourgold/settings.h"
#include "scenario/settings_table.h"

static size_t group_length(const char *key) { return strcspn(key, "."); }

static void add_setting(fg_text *out, const fg_question *q, const char *answer) {
  const char *name = fg_settings[q->row].key + group_length(fg_settings[q->row].key) + 1;
  const bool unknown = strcmp(answer, "?") == 0;
  const int row = q->row;
  const bool bare = fg_settings[row].type == FG_T_INTEGER;
  const char *quote = bare ? "" : "\"";
  if (!unknown)
    fg_text_printf(out, "  %s = %s%s%s;\n", name, quote, answer, quote);
  else if (q->unknown == FG_UNKNOWN_GUESSED)
    fg_text_printf(out,
                   "  # Not known: a guess until it is looked up or measured.\n"
                   "  %s = %s%s%s;\n",
                   name, quote, q->guess, quote);
  else
    fg_text_printf(out, "  # %s: not known, left to what is usual.\n", name);
}

void fg_start_scenario(const char answers[][FG_ANSWER_MAX], fg_text *out) {
  fg_text_add(out, "# A scenario made by `flourgold start`.  Change anything; `flourgold\n"
                   "# keys` explains every setting, `flourgold measure` says which ones to\n"
                   "# find out next.  Errors may stand behind any number: \"8 in +- 1/8 in\".\n");
  const char *open = "";
  for (size_t i = 0; i < fg_questions_count; ++i) {
    const fg_question *q = &fg_questions[i];
    const size_t length = group_length(fg_settings[q->row].key);
    bool done = false;
    for (size_t k = 0; k < i; ++k)
      done = done || strncmp(fg_settings[fg_questions[k].row].key, fg_settings[q->row].key,
                             length + 1) == 0;
    if (done)
      continue;
    fg_text_printf(out, "%s\n%.*s = {\n", open, (int)length, fg_settings[q->row].key);
    for (size_t k = i; k < fg_questions_count; ++k) {
      if (strncmp(fg_settings[fg_questions[k].row].key, fg_settings[q->row].key, length + 1) != 0)
        continue;
      fg_text_printf(out, "  # %s\n", fg_questions[k].question);
      add_setting(out, &fg_questions[k], answers[k]);
    }
    open = "};\n";
  }
  fg_text_add(out, "};\n");
}
