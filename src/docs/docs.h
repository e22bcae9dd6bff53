/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_DOCS_DOCS_H
#define FG_DOCS_DOCS_H

#include "cli/cli.h"
#include "core/text.h"

/* Manual pages and shell completion, made from the program's own tables of commands and settings by
 * a program of its own, which nothing else links (`make docs`). */

/* Adds the manual page of the program, of a command, of scenario files; `date` as 2026-01-31. */
void fg_docs_program_page(fg_text *page, const char *date);
void fg_docs_command_page(fg_text *page, const fg_command *command, const char *date);
void fg_docs_scenario_page(fg_text *page, const char *date);
/* Adds the manual page of the topics of the help. */
void fg_docs_topics_page(fg_text *page, const char *date);

/* Adds the tables, as shell functions, that completion.bash reads. */
void fg_docs_bash_tables(fg_text *script);
/* Adds the functions that completion.zsh calls. */
void fg_docs_zsh_functions(fg_text *script);

/* Hands the options of a command to `each`, its own first; of no command (NULL): the common ones.
 */
void fg_docs_each_option(const fg_command *command,
                         void (*each)(fg_text *text, const fg_command *command,
                                      const fg_option *option),
                         fg_text *text);

/* Adds the words that a command's plain word may be, each with `before` before it and `after`
 * behind it; none for kinds without a list. */
void fg_docs_words(fg_text *text, const char *before, const char *after, fg_word_kind kind);

#endif
