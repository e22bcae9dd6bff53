/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/verdict_report.h"

#include <math.h>
#include <stdio.h>

#include "pages/page.h"
#include "scenario/settings_table.h"

enum { COLUMNS = 64, WORDS = 200, FEW_EFFECTIVE = 20 };

static void add_head(fg_node *root, const fg_verdict_story *story) {
  const fg_evidence *e = story->evidence;
  fg_node *head = fg_page_head(root, "What became of the gold", "Scenario", story->scenario);
  fg_number(head, "buckets", "Buckets run", FG_Q_NUMBER, story->buckets, 0);
  fg_number(head, "found_mg", "Gold found", FG_Q_SMALL_MASS, e->found_kg, FG_EXACT);
  fg_number(head, "found_error_mg", "- the scale's error", FG_Q_SMALL_MASS, e->error_kg, FG_EXACT);
  fg_boolean(head, "tailings_panned", "Tailings panned again", e->tail != NULL, 0);
}

static void band_number(fg_node *n, const char *name, const char *label, fg_quantity quantity,
                        const fg_band *band) {
  fg_number_band(n, name, label, quantity, band->mid, band, 0);
}

static void chance_words(fg_node *n, const fg_verdict *v) {
  if (v->chance >= 0.5)
    fg_note(n, "No disappointment: at least half of such days bring no more. What follows only "
               "tells what held the catch back most.");
  else if (v->chance >= 0.1)
    fg_note(n,
            "As days go: such a catch or a smaller one is to be expected on %.0f "
            "days in 100 like this. The suspects below are guesses as good as the doubts.",
            100.0 * v->chance);
  else
    fg_note(n,
            "A poor catch for what was expected: as small or smaller on only %.2g days in 100 "
            "like this. Something is not as the scenario says.",
            100.0 * v->chance);
}

static void add_chance(fg_node *root, const fg_verdict_story *story) {
  const fg_verdict *v = story->verdict;
  fg_node *n = fg_group(root, NULL, "How likely this catch was (a model's chance)", 0);
  fg_number(n, "expected_mg", isfinite(v->expected_kg) ? "Expected, all as the file says" : NULL,
            FG_Q_SMALL_MASS, v->expected_kg, 0);
  band_number(n, "predicted_mg", "With all doubt", FG_Q_SMALL_MASS, &v->predicted);
  fg_number(n, "chance", "Chance of so little or less", FG_Q_SHARE, v->chance, 0);
  fg_number(n, "chance_more", NULL, FG_Q_SHARE, 1.0 - v->chance, 0);
  fg_number(n, "chance_tail", story->evidence->tail ? "- so few colours in the tail" : NULL,
            FG_Q_SHARE, v->chance_tail, 0);
  chance_words(n, v);
}

typedef struct cause_row {
  const char *name;
  fg_suspicion s;
} cause_row;

#define OF(field) offsetof(cause_row, field)
static const fg_column_of cause_columns[] = {
    {"name", "suspect", FG_Q_NUMBER, FG_FIELD_TEXT, OF(name)},
    {"weight", "explains", FG_Q_SHARE, FG_FIELD_NUMBER, OF(s.weight)},
    {"main", "main cause", FG_Q_SHARE, FG_FIELD_NUMBER, OF(s.main)},
    {"factor", "if right: times", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(s.factor)},
};
#undef OF

static void add_causes(fg_node *root, const fg_verdict_story *story) {
  const fg_verdict *v = story->verdict;
  fg_node *table = fg_table(root, "causes", "Suspects, heaviest first",
                            FG_PRIMARY | (v->chance < fg_good_day ? FG_PROOF : 0));
  FG_COLUMNS_OF(table, cause_columns);
  for (int i = 0; i < FG_CAUSES; ++i) {
    const cause_row row = {fg_cause_names[v->order[i]], v->cause[v->order[i]]};
    FG_ROW_OF(table, cause_columns, &row);
  }
  fg_node *key = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  fg_note(key,
          "explains: its part of what the catch fell short, given these finds. main cause: the "
          "chance that it took most. if right: how much more would have been kept on average "
          "with that alone as the file says; below 1 it helped rather than harmed. the deck "
          "itself: it sorts worse than the model's middle. luck: few grains, and they went "
          "elsewhere.");
}

static void add_next(fg_node *root, const fg_verdict_story *story) {
  char cleaning[80];
  const char *next = fg_verdict_next(story->verdict, story->evidence->tail != NULL);
  fg_node *n = fg_group(root, NULL, "The one check to do next", 0);
  fg_string(n, "next_check", NULL, next, FG_DATA_ONLY);
  fg_number(n, "cleaning_interval_min", NULL, FG_Q_MINUTES, story->verdict->clean_every_s,
            FG_DATA_ONLY);
  fg_note(n, "%s", next);
  if (story->verdict->order[0] == FG_CAUSE_FULL)
    fg_note(n, "%s", fg_verdict_cleaning(story->verdict, cleaning, sizeof cleaning));
}

static void add_learnt(fg_node *root, const fg_verdict_story *story) {
  const fg_verdict *v = story->verdict;
  fg_node *n = fg_group(root, "learnt", "What the finds say of the ground and the deck", 0);
  band_number(n, "grade_before_g_m3", "Grade, before", FG_Q_GRADE, &v->grade_before);
  band_number(n, "grade_g_m3", "- after", FG_Q_GRADE, &v->grade);
  band_number(n, "kept_before", "Kept of all gold, before", FG_Q_SHARE, &v->kept_before);
  band_number(n, "kept", "- after", FG_Q_SHARE, &v->kept);
}

static void add_method(fg_node *root, const fg_verdict_story *story) {
  const fg_verdict *v = story->verdict;
  fg_node *n = fg_group(root, "doubt", "How it was worked out", 0);
  fg_integer(n, "samples", "Runs, inputs drawn anew", (long)v->samples, 0);
  fg_integer(n, "seed", NULL, (long)story->seed, 0);
  fg_number(n, "stall_share", "- left out: the deck stalls", FG_Q_SHARE, v->stall_share, 0);
  fg_number(n, "effective_samples", "- that carry the weights", FG_Q_NUMBER, round(v->effective),
            0);
  fg_note(n,
          "Each run is weighed by how well it fits the finds (importance sampling; Smith & Gelfand "
          "1992), grains counted as chance takes them, and run again with one suspect after the "
          "other put right. Where the file gives no error, the day is taken to stray:");
  for (size_t i = 0; i < fg_strays_count; ++i)
    fg_bullet(n, "%s: %g to %g times what it says.", fg_settings[fg_strays[i].row].key,
              fg_strays[i].low, fg_strays[i].high);
  fg_note(n, "Those ranges are assumed; write your own error (\"0.5 %% +- 0.2 %%\"). A catch alone "
             "cannot tell poor ground from a deck that loses: the tailings can.");
  if (v->effective < FEW_EFFECTIVE)
    fg_note(n, "Few runs fit such finds, so the weights are rough: --samples 8192 makes them "
               "firmer.");
}

fg_report *fg_verdict_report(const fg_verdict_story *story) {
  fg_report *report = fg_report_new();
  fg_report_columns(report, COLUMNS);
  fg_node *root = fg_report_root(report);
  fg_report_verdict_answer(root, story);
  add_head(root, story);
  add_chance(root, story);
  add_causes(root, story);
  add_next(root, story);
  add_learnt(root, story);
  add_method(root, story);
  fg_page_end(root, story->scenario, FG_DECK_GROUPS, story->units);
  return report;
}
