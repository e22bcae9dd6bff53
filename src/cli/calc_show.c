/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The reports of `calc`: the list of formulas, what one takes, what came out. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "cli/calc.h"
#include "core/text.h"
#include "physics/grains.h"

fg_report *fg_calc_report_list(void) {
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  fg_node *group = fg_group(root, "formulas", "Formulas", 0);
  for (size_t i = 0; i < fg_calcs_count; ++i)
    fg_string(group, fg_calcs[i]->name, fg_calcs[i]->name, fg_calcs[i]->title, 0);
  fg_note(root, "'flourgold calc NAME' alone shows what a formula takes, with an example.");
  return report;
}

static void add_choices(fg_text *text, const fg_calc_input *input) {
  if (input->kind == FG_CALC_DATE) {
    fg_text_add(text, "; as 2024-09-03, 3 Sep or the number of the day");
    return;
  }
  fg_text_add(text, "; one of: ");
  if (input->kind == FG_CALC_MINERAL) {
    for (size_t i = 0; i < fg_minerals_count; ++i)
      fg_text_printf(text, "%s%s", i > 0 ? ", " : "", fg_minerals[i].name);
    return;
  }
  for (size_t i = 0; input->choices[i]; ++i)
    fg_text_printf(text, "%s%s", i > 0 ? ", " : "", input->choices[i]);
}

static void add_range(fg_text *text, const fg_calc_input *input) {
  char low[64];
  char high[64];
  fg_calc_text(input, input->lowest, low, sizeof low);
  fg_calc_text(input, input->highest, high, sizeof high);
  fg_text_printf(text, "; %s to %s", low, high);
}

/* Whether another input may stand for this one. */
static bool has_alternative(const fg_calc *formula, const fg_calc_input *input) {
  for (size_t i = 0; i < fg_calc_input_count(formula) && input->instead; ++i) {
    const fg_calc_input *other = &formula->inputs[i];
    if (other != input && other->instead && strcmp(other->instead, input->instead) == 0)
      return true;
  }
  return false;
}

void fg_calc_describe(fg_text *text, const fg_calc *formula, const fg_calc_input *input) {
  char standard[64];
  fg_text_add(text, input->meaning);
  if (input->kind == FG_CALC_NUMBER)
    add_range(text, input);
  else
    add_choices(text, input);
  if (input->need == FG_CALC_NEEDED)
    fg_text_add(text, has_alternative(formula, input) ? "" : "; needed");
  else if (input->need == FG_CALC_STANDARD)
    fg_text_printf(text, "; not given: %s",
                   fg_calc_text(input, input->standard, standard, sizeof standard));
  else if (input->otherwise)
    fg_text_printf(text, "; not given: %s", input->otherwise);
}

static void add_input_help(fg_node *group, const fg_calc *formula, const fg_calc_input *input) {
  fg_text text = {0};
  fg_calc_describe(&text, formula, input);
  char *sentence = fg_text_take(&text, NULL);
  fg_string(group, input->name, input->name, sentence ? sentence : input->meaning, 0);
  free(sentence);
}

/* Names of the inputs that stand for one another. */
static void add_alternatives(fg_node *group, const fg_calc *formula) {
  for (size_t i = 0; i < fg_calc_input_count(formula); ++i) {
    const char *instead = formula->inputs[i].instead;
    fg_text names = {0};
    size_t count = 0;
    size_t first = FG_CALC_INPUTS;
    bool needed = false;
    for (size_t k = 0; instead && k < fg_calc_input_count(formula); ++k) {
      const char *other = formula->inputs[k].instead;
      if (!other || strcmp(other, instead) != 0)
        continue;
      first = first < k ? first : k;
      needed = needed || formula->inputs[k].need == FG_CALC_NEEDED;
      fg_text_printf(&names, "%s%s", count++ > 0 ? ", " : "", formula->inputs[k].name);
    }
    char *list = fg_text_take(&names, NULL);
    if (list && count > 1 && first == i)
      fg_note(group, "Give %s one of: %s.", needed ? "just" : "at most", list);
    free(list);
  }
}

static void add_inputs_help(fg_node *root, const fg_calc *formula) {
  fg_node *group = fg_group(root, "arguments", "Arguments", 0);
  for (size_t i = 0; i < fg_calc_input_count(formula); ++i)
    add_input_help(group, formula, &formula->inputs[i]);
  if (formula->pairs)
    fg_note(group, "And %s.", formula->pairs);
  add_alternatives(group, formula);
  fg_text text = {0};
  fg_text_printf(&text, "flourgold calc %s %s", formula->name, formula->example);
  char *example = fg_text_take(&text, NULL);
  fg_node *end = fg_group(root, NULL, "Example", 0);
  fg_string(end, "example", NULL, example, 0);
  fg_note(end, "%s", example ? example : "");
  free(example);
}

fg_report *fg_calc_report_help(const fg_calc *formula) {
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  fg_string(root, "name", NULL, formula->name, 0);
  fg_string(root, "title", NULL, formula->title, 0);
  fg_note(root, "calc %s: %s.", formula->name, formula->title);
  add_inputs_help(root, formula);
  return report;
}

/* The arguments that have no name of their own, as written. */
static void add_pairs(fg_node *root, const fg_calc_work *work) {
  if (work->pair_count == 0)
    return;
  fg_node *pairs = fg_group(root, "pairs", NULL, 0);
  for (size_t i = 0; i < work->pair_count; ++i)
    fg_string(pairs, work->pairs[i][0], work->pairs[i][0], work->pairs[i][1], 0);
}

static void add_inputs(fg_node *root, const fg_calc_work *work) {
  static const char *const marks[] = {"", "", " (assumed)", " (worked out)"};
  char label[64];
  char word[64];
  fg_node *group = fg_group(root, "inputs", "From", 0);
  fg_node *assumed = fg_list(root, "assumed", 0);
  for (size_t i = 0; i < fg_calc_input_count(work->formula); ++i) {
    const fg_calc_input *input = &work->formula->inputs[i];
    if (work->origins[i] == FG_CALC_ABSENT)
      continue;
    (void)snprintf(label, sizeof label, "%s%s", input->name, marks[work->origins[i]]);
    if (input->kind == FG_CALC_NUMBER)
      fg_number(group, input->name, label, input->quantity, work->values[i], FG_EXACT);
    else
      fg_string(group, input->name, label, fg_calc_text(input, work->values[i], word, sizeof word),
                0);
    if (work->origins[i] == FG_CALC_ASSUMED)
      fg_list_string(assumed, input->name);
  }
}

static void add_fallbacks(fg_node *root, const fg_calc_work *work) {
  if (!work->fallbacks[0])
    return;
  fg_node *group = fg_group(root, NULL, "In place of what was not given", 0);
  fg_node *list = fg_list(group, "fallbacks", 0);
  for (size_t i = 0; i < FG_CALC_FALLBACKS && work->fallbacks[i]; ++i) {
    fg_list_string(list, work->fallbacks[i]);
    fg_bullet(group, "%s", work->fallbacks[i]);
  }
}

fg_report *fg_calc_report_result(const fg_calc_work *work, bool explain) {
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  const fg_calc *formula = work->formula;
  fg_string(root, "name", NULL, formula->name, 0);
  fg_note(root, "calc %s: %s.", formula->name, formula->title);
  add_inputs(root, work);
  add_pairs(root, work);
  fg_node *result = fg_group(root, "result", "Result", 0);
  for (size_t i = 0; i < FG_CALC_OUTPUTS && formula->outputs[i].name; ++i)
    fg_number(result, formula->outputs[i].name, formula->outputs[i].label,
              formula->outputs[i].quantity, work->results[i], FG_EXACT);
  add_fallbacks(root, work);
  if (work->note[0] != '\0') {
    fg_string(root, "note", NULL, work->note, FG_DATA_ONLY);
    fg_note(root, "%s", work->note);
  }
  fg_string(root, "source", NULL, work->source, 0);
  fg_note(root, "Source: %s.", work->source);
  if (explain)
    add_inputs_help(fg_group(root, NULL, NULL, FG_TEXT_ONLY), formula);
  return report;
}
