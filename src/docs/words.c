/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "cli/calc.h"
#include "cli/topics.h"
#include "docs/docs.h"
#include "pages/plot.h"
#include "scenario/settings_table.h"

static void add(fg_text *text, const char *before, const char *word, const char *after) {
  fg_text_printf(text, "%s%s%s", before, word, after);
}

void fg_docs_words(fg_text *text, const char *before, const char *after, fg_word_kind kind) {
  switch (kind) {
  case FG_WORD_PICTURE:
    for (size_t i = 0; i < fg_pictures_count; ++i)
      add(text, before, fg_pictures[i].name, after);
    break;
  case FG_WORD_FORMULA:
    for (size_t i = 0; i < fg_calcs_count; ++i)
      add(text, before, fg_calcs[i]->name, after);
    break;
  case FG_WORD_KEY:
    for (size_t i = 0; i < fg_settings_count; ++i)
      add(text, before, fg_settings[i].key, after);
    break;
  case FG_WORD_TOPIC:
    for (size_t i = 0; i < fg_topics_count; ++i)
      add(text, before, fg_topics[i].name, after);
    fg_docs_words(text, before, after, FG_WORD_COMMAND);
    break;
  case FG_WORD_COMMAND:
    for (size_t i = 0; i < fg_commands_count; ++i)
      add(text, before, fg_commands[i].name, after);
    break;
  case FG_WORD_FILE:
  case FG_WORD_OTHER:
    break;
  }
}
