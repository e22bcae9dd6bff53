/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdlib.h>

#include "cli/calc.h"
#include "docs/man.h"
#include "docs/roff.h"
#include "pages/plot.h"

static void add_arguments(fg_text *page, const fg_calc *formula) {
  for (size_t i = 0; i < fg_calc_input_count(formula); ++i) {
    fg_text text = {0};
    fg_calc_describe(&text, formula, &formula->inputs[i]);
    char *sentence = fg_text_take(&text, NULL);
    fg_roff_labelled(page, formula->inputs[i].name, sentence ? sentence : "");
    free(sentence);
  }
  if (formula->pairs)
    fg_roff_labelled(page, "others", formula->pairs);
}

static void add_formulas(fg_text *page) {
  fg_roff_section(page, "FORMULAS");
  fg_roff_line(page, "'flourgold calc NAME' tells besides which arguments stand for one another.");
  for (size_t i = 0; i < fg_calcs_count; ++i) {
    const fg_calc *formula = fg_calcs[i];
    fg_roff_entry(page);
    fg_roff_bold(page, formula->name);
    fg_roff_end(page);
    fg_roff_line(page, formula->title);
    add_arguments(page, formula);
    fg_roff_labelled(page, "Source", formula->source);
    fg_roff_labelled(page, "Example", formula->example);
  }
}

static void add_pictures(fg_text *page) {
  fg_roff_section(page, "PICTURES");
  for (size_t i = 0; i < fg_pictures_count; ++i) {
    fg_roff_entry(page);
    fg_roff_bold(page, fg_pictures[i].name);
    fg_roff_end(page);
    fg_roff_line(page, fg_pictures[i].title);
  }
}

void fg_docs_command_page(fg_text *page, const fg_command *command, const char *date) {
  char name[FG_MAN_NAME];
  fg_roff_page(page, fg_man_name(command, name), 1, date);
  fg_roff_section(page, "NAME");
  fg_roff_add(page, name);
  fg_text_add(page, " \\- ");
  fg_roff_line(page, command->summary);
  fg_roff_section(page, "SYNOPSIS");
  fg_roff_bold(page, "flourgold ");
  fg_roff_bold(page, command->name);
  fg_roff_add(page, " ");
  fg_roff_usage(page, command->usage);
  fg_roff_end(page);
  fg_roff_section(page, "DESCRIPTION");
  fg_roff_paragraphs(page, command->details);
  if (command->word_kind == FG_WORD_FORMULA)
    add_formulas(page);
  if (command->word_kind == FG_WORD_PICTURE)
    add_pictures(page);
  fg_man_options(page, command);
  fg_man_exit_status(page);
  fg_roff_section(page, "EXAMPLE");
  fg_roff_example(page, command->example);
  fg_roff_section(page, "SEE ALSO");
  fg_roff_reference(page, "flourgold", 1, ",\n");
  fg_roff_reference(page, "flourgold-scenario", 5, "\n");
}
