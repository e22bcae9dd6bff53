/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What a few buckets say: the plan before, and the decide-as-you-go table. */
#include "pages/sample_report.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "core/text.h"
#include "pages/page.h"
#include "pages/sample_internal.h"
#include "physics/sieve.h"

enum { CARRIED = 64 };
static const double coarse_m = 850e-6; /* 20 mesh */

static bool panned(const fg_sample_story *story) {
  return story->scenario->sample.method == FG_SAMPLE_PAN;
}

static void add_head(fg_node *root, const fg_sample_story *story) {
  const fg_scenario *s = story->scenario;
  char words[96];
  const int mesh = fg_sieve_nearest(s->sample.visible_size);
  fg_node *head = fg_page_head(root, "What a few buckets say", "Scenario", s);
  fg_number(head, "hoped_g_m3", "Grade hoped for", FG_Q_GRADE, s->gold.grade, FG_EXACT);
  fg_number(head, "threshold_g_m3", "Grade it must beat", FG_Q_GRADE, s->sample.threshold,
            FG_EXACT);
  fg_number(head, "bucket_l", "A bucket", FG_Q_VOLUME, s->sample.bucket, FG_EXACT);
  fg_number(head, "bucket_kg", "- its gravel", FG_Q_MASS, story->basis->bucket_kg, 0);
  (void)snprintf(words, sizeof words, "colours over %d mesh %s", mesh,
                 panned(story) ? "in the pan" : "in the deck's catch");
  fg_string(head, NULL, "Counted", words, FG_TEXT_ONLY);
  fg_string(head, "method", NULL, panned(story) ? "pan" : "deck", 0);
  fg_number(head, "visible_mm", NULL, FG_Q_GRAIN_SIZE, s->sample.visible_size, 0);
  fg_number(head, "confidence", NULL, FG_Q_SHARE, s->sample.confidence, 0);
}

/* "+- 44 %" */
static void add_error(fg_node *node, const char *name, const char *label, double error) {
  char words[48];
  if (isfinite(error))
    (void)snprintf(words, sizeof words, "+- %.0f %%", 100.0 * error);
  else
    (void)snprintf(words, sizeof words, "unknown");
  fg_string(node, NULL, label, words, FG_TEXT_ONLY);
  fg_number(node, name, NULL, FG_Q_SHARE, error, FG_DATA_ONLY);
}

static void add_plan(fg_node *root, const fg_sample_story *story) {
  const fg_sample_plan *plan = story->plan;
  const double wanted = story->scenario->sample.grains;
  fg_node *node = fg_group(root, "plan", "The plan", 0);
  fg_number(node, "colours_per_bucket", "Colours in a bucket", FG_Q_NUMBER, plan->per_bucket, 0);
  fg_number(node, "colours_wanted", "Colours wanted", FG_Q_NUMBER, wanted, 0);
  fg_number(node, "buckets_to_count", "Buckets, to count them", FG_Q_INTEGER, plan->to_count, 0);
  fg_number(node, "buckets_to_weigh", "- to weigh the gold", FG_Q_INTEGER, plan->to_weigh, 0);
  fg_number(node, "buckets", "- to do both", FG_Q_INTEGER, plan->buckets, 0);
  fg_number(node, "kg", "- their gravel", FG_Q_MASS, plan->kg, 0);
  fg_number(node, "colours", "Colours expected", FG_Q_NUMBER, plan->colours, 0);
  fg_number(node, "all_grains_per_bucket", "Grains of any size in a bucket", FG_Q_NUMBER,
            plan->all_per_bucket, 0);
  add_error(node, "count_error", "Error left, by counting", plan->count_error);
  add_error(node, "mass_error", "- by weighing the gold", plan->mass_error);
  add_error(node, "gy_error", "- by Gy's formula", plan->gy_error);
  if (isnan(plan->buckets)) {
    fg_note(node,
            "At this grade and with these sizes there is nothing to count: no number of "
            "buckets gives %.0f colours.",
            wanted);
    return;
  }
  if (plan->buckets < 3.0)
    fg_note(node, "Take at least three all the same, from different spots: one bucket cannot "
                  "show how the ground scatters.");
  fg_note(node,
          "Errors are half widths at %.0f %% confidence and come from the number of grains "
          "alone (counting statistics; Gy's formula puts all gold near its top size and free). "
          "By weight a few coarse grains decide, so it takes more buckets; a count needs the "
          "gold's sizes to be as assumed. %s",
          100.0 * story->scenario->sample.confidence,
          panned(story) ? "Nothing here hangs on the deck."
                        : "How many grains the deck keeps is a model's figure.");
}

typedef struct size_row {
  char mesh[48];
  fg_sample_class c;
  double in_one, in_all, chance_none;
} size_row;

#define OF(field) offsetof(size_row, field)
static const fg_column_of size_columns[] = {
    {"mesh", "mesh", FG_Q_NUMBER, FG_FIELD_CHARS, OF(mesh)},
    {"lower_mm", NULL, FG_Q_GRAIN_SIZE, FG_FIELD_NUMBER, OF(c.lower_m)},
    {"upper_mm", NULL, FG_Q_GRAIN_SIZE, FG_FIELD_NUMBER, OF(c.upper_m)},
    {"grain_mg", "one grain", FG_Q_SMALL_MASS, FG_FIELD_NUMBER, OF(c.grain_kg)},
    {"share", "of gold", FG_Q_SHARE, FG_FIELD_NUMBER, OF(c.share)},
    {"recovery", "found", FG_Q_SHARE, FG_FIELD_NUMBER, OF(c.recovery)},
    {"per_bucket", "in one", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(in_one)},
    {"in_sample", "in all", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(in_all)},
    {"chance_none", "chance of none", FG_Q_SHARE, FG_FIELD_NUMBER, OF(chance_none)},
};
#undef OF

static void add_classes(fg_node *root, const fg_sample_story *story) {
  const fg_sample_basis *basis = story->basis;
  const double gold = story->scenario->gold.grade * basis->in_place_m3;
  const double buckets = story->plan->buckets;
  char title[64];
  (void)snprintf(title, sizeof title, "Grains by size, in one bucket and in %.0f", buckets);
  fg_node *table = fg_table(root, "sizes", isnan(buckets) ? "Grains by size" : title, 0);
  FG_COLUMNS_OF(table, size_columns);
  for (size_t k = 0; k < basis->count; ++k) {
    size_row row = {.c = basis->classes[k]};
    (void)fg_page_mesh(row.c.lower_m, row.c.upper_m, row.mesh, sizeof row.mesh);
    row.in_one = gold * row.c.per_gold;
    row.in_all = row.in_one * buckets;
    row.chance_none = exp(-row.in_all);
    FG_ROW_OF(table, size_columns, &row);
  }
}

/* That a few buckets say nothing about coarse gold. */
static void add_coarse(fg_node *root, const fg_sample_story *story) {
  const double buckets = story->plan->buckets;
  const double share = fg_sample_gold_share(story->basis, coarse_m, INFINITY);
  const double grains =
      buckets * fg_sample_colours(story->basis, story->scenario->gold.grade, coarse_m, INFINITY);
  fg_node *node = fg_group(root, "coarse", "What they do not say", 0);
  fg_number(node, "share", "Gold coarser than 20 mesh", FG_Q_SHARE, share, 0);
  fg_number(node, "grains", "- such grains in all buckets", FG_Q_NUMBER, grains, 0);
  fg_number(node, "chance_none", "- chance of none at all", FG_Q_SHARE, exp(-grains), 0);
  if (isnan(grains))
    return;
  fg_note(node,
          "A few buckets say nothing about coarse gold. Grains over 20 mesh hold %.0f %% of this "
          "gold, and in %.0f bucket%s %.2g of them are to be expected. One found would make "
          "the ground look rich by weight, none would make it look poor; count the small "
          "colours, and take the coarse gold as luck.",
          100.0 * share, buckets, buckets > 1.0 ? "s" : "", grains);
}

/* ---- decide as you go ---- */

void fg_decision_line(fg_text *text, const fg_leave_or_stay *table, size_t index) {
  const fg_decision_row *row = &table->row[index];
  char fewest[48] = "too early to leave";
  if (row->leave_at_most == 0.0)
    (void)snprintf(fewest, sizeof fewest, "leave at none");
  else if (!isnan(row->leave_at_most))
    (void)snprintf(fewest, sizeof fewest, "leave at %.0f or fewer", row->leave_at_most);
  fg_text_printf(text, "after %2zu: %-24s stay at %.0f or more\n", index + 1, fewest,
                 row->stay_at_least);
}

void fg_report_decision(fg_node *parent, const fg_leave_or_stay *table) {
  fg_node *rows = fg_table(parent, "sequential", NULL, FG_DATA_ONLY | FG_PRIMARY);
  fg_column(rows, "bucket", NULL, FG_Q_INTEGER, 0);
  fg_column(rows, "leave_at_most", NULL, FG_Q_INTEGER, 0);
  fg_column(rows, "stay_at_least", NULL, FG_Q_INTEGER, 0);
  for (size_t i = 0; table && i < table->count; ++i) {
    fg_row(rows);
    fg_cell(rows, (double)(i + 1));
    fg_cell(rows, table->row[i].leave_at_most);
    fg_cell(rows, table->row[i].stay_at_least);
  }
}

static void add_odds(fg_node *node, const char *name, const char *title, double rate,
                     const fg_sequential_odds *odds) {
  fg_node *group = fg_group(node, name, title, 0);
  fg_number(group, "rate", "Colours a bucket", FG_Q_NUMBER, rate, 0);
  fg_number(group, "expected_buckets", "Buckets it takes on average", FG_Q_NUMBER, odds->buckets,
            0);
  fg_number(group, "chance_leave", "It says leave", FG_Q_SHARE, odds->leave, 0);
  fg_number(group, "chance_stay", "It says stay", FG_Q_SHARE, odds->stay, 0);
  fg_number(group, "chance_open", "Still open at its end", FG_Q_SHARE, odds->open, 0);
}

/* How the table was made. */
static void add_grounds(fg_node *node, const fg_sample_story *story) {
  const fg_scenario *s = story->scenario;
  if (story->table->own)
    fg_note(node,
            "Wald's test with risks of %.3g %% to stay and %.3g %% to leave by mistake: counting "
            "statistics, for buckets that scatter by chance alone. Patchy ground makes mistakes "
            "likelier; take the buckets from different spots. The two rates are your own.",
            100.0 * s->sample.alpha, 100.0 * s->sample.beta);
  else
    fg_note(
        node,
        "To stay: ground of the threshold grade; to leave: of half of it; the gap between holds "
        "all the doubt of the model about how much gold a colour stands for, with risks of "
        "%.3g and %.3g %% on average. More than %d buckets would not narrow it, better rates "
        "do: your own (sample.leave_rate, sample.stay_rate). The deck runs as the file sets it.",
        100.0 * s->sample.alpha, 100.0 * s->sample.beta, FG_DECIDED_MOST);
}

static void add_sequential(fg_node *root, const fg_sample_story *story) {
  fg_node *node = fg_group(root, NULL, "Decide as you go", 0);
  const fg_leave_or_stay *table = story->table;
  fg_text text = {0};
  char size[48];
  if (!table) {
    fg_note(node, "Ground of the threshold grade shows no number of colours that tells, so "
                  "there is nothing to decide by. Look for finer colours (sample.visible_size) "
                  "or give sample.leave_rate and sample.stay_rate.");
    (void)fg_table(root, "sequential", NULL, FG_DATA_ONLY);
    return;
  }
  (void)fg_quantity_text(FG_Q_GRAIN_SIZE, story->units, table->size_m, size, sizeof size);
  fg_note(
      node,
      "Add the colours over %s of all buckets so far. Stop at the first line that fits; between "
      "the numbers take one more bucket.",
      size);
  fg_report_decision(node, table);
  fg_number(node, "sequential_size_mm", NULL, FG_Q_GRAIN_SIZE, table->size_m, FG_DATA_ONLY);
  for (size_t i = 0; i < table->count; ++i)
    fg_decision_line(&text, table, i);
  char *lines = fg_text_take(&text, NULL);
  fg_verbatim(fg_group(node, NULL, NULL, FG_TEXT_ONLY | (story->result ? 0 : FG_PROOF)),
              lines ? lines : "");
  free(lines);
  if (table->own) {
    add_odds(node, "at_leave_rate", "On ground that should be left", table->leave,
             &story->at_leave);
    add_odds(node, "at_stay_rate", "On ground that should be worked", table->stay, &story->at_stay);
  }
  add_grounds(node, story);
}

static void add_form(fg_node *root, const fg_sample_story *story) {
  char *page = fg_sample_form_page(story->scenario, story->units);
  fg_node *node = fg_group(root, NULL, "Form", FG_TEXT_ONLY);
  if (page)
    fg_verbatim(node, page);
  free(page);
  fg_note(node,
          "One row a bucket, colours by mesh, 0 where there are none. Gravel: leave empty for a "
          "level bucket. Gold: leave empty if not weighed. `--form` writes it as a CSV file, "
          "`--counts` reads that back.");
}

/* What counts and what the model holds. */
static void add_kinds(fg_node *root, const fg_sample_story *story) {
  fg_node *node = fg_group(root, NULL, "Counting, and model", FG_TEXT_ONLY);
  fg_bullet(node, "Counting statistics, sound whatever the deck does: intervals of the counts, "
                  "the test of scatter, the decide-as-you-go table for given rates, which "
                  "station is richer.");
  if (panned(story))
    fg_bullet(node, "Assumed: the gold's sizes, flatness and density, which turn colours into "
                    "grams, and that the pan loses none.");
  else
    fg_bullet(node, "Model: what the deck keeps of each size. Assumed with it: the gold's sizes, "
                    "flatness and density. Both stand between colours and grams of gold.");
}

/* With counts the top level tells what was found; before, what is hoped for and what the plan
 * would then tell. */
static void add_hope(fg_node *root, const fg_sample_story *story) {
  const double grade = story->scenario->gold.grade, colours = story->plan->colours;
  fg_interval limits = {NAN, NAN};
  if (colours > 0.0)
    (void)fg_poisson_limits(floor(colours + 0.5), story->scenario->sample.confidence, &limits);
  const fg_band by_grade = {grade * limits.lower / colours, grade, grade * limits.upper / colours};
  const fg_band by_rate = {limits.lower / story->plan->buckets, story->plan->per_bucket,
                           limits.upper / story->plan->buckets};
  fg_number_band(root, "grade_g_m3", NULL, FG_Q_GRADE, grade, &by_grade, FG_DATA_ONLY);
  fg_number_band(root, "grains_per_bucket", NULL, FG_Q_NUMBER, story->plan->per_bucket, &by_rate,
                 FG_DATA_ONLY);
}

fg_report *fg_sample_report(const fg_sample_story *story) {
  fg_report *report = fg_report_new();
  fg_report_columns(report, CARRIED);
  fg_node *root = fg_report_root(report);
  fg_report_sample_answer(root, story);
  add_head(root, story);
  if (story->result)
    fg_report_sample_result(root, story);
  else
    add_hope(root, story);
  add_plan(root, story);
  if (!story->result) {
    add_classes(root, story);
    add_coarse(root, story);
  }
  add_sequential(root, story);
  if (!story->result)
    add_form(root, story);
  add_kinds(root, story);
  fg_page_end(root, story->scenario, FG_DECK_GROUPS " sample", story->units);
  return report;
}
