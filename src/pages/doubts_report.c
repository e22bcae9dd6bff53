/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/doubts_report.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "flourgold/settings.h"
#include "pages/loss_report.h"
#include "pages/page.h"
#include "report/said.h"
#include "scenario/measuring.h"
#include "scenario/settings_table.h"
#include "stats/band.h"

enum { TOLD_IN_WORDS = 3, NAME = 64 };

/* "grain spread" for "ground.grain_spread". */
static const char *plain_name(int row, char buffer[NAME]) {
  const char *key = fg_settings[row].key, *dot = strchr(key, '.');
  (void)snprintf(buffer, NAME, "%s", dot ? dot + 1 : key);
  for (char *p = buffer; *p; ++p)
    if (*p == '_')
      *p = ' ';
  return buffer;
}

/* How sure the share kept is, and what would make it surer. */
static void answer(fg_node *root, const fg_doubts_story *story) {
  const fg_doubts *d = story->doubts;
  const fg_banded kept = {d->kept, d->kept_band};
  fg_node *lines = fg_page_answer(root);
  char share[64], name[NAME];
  fg_note(lines, "%s: keeps %s of the gold.", fg_page_name(story->scenario),
          fg_said_banded(FG_Q_SHARE, story->units, &kept, share, sizeof share));
  const fg_worth *first = d->worths > 0 ? &d->worth[0] : NULL;
  const fg_doubted_input *p = first ? fg_doubts_input(d, first) : NULL;
  if (first)
    fg_note(lines, "Measure your %s first. %.*s", plain_name(first->row, name),
            (int)strcspn(first->how->how, ".") + 1, first->how->how);
  if (p && p->narrowed)
    fg_note(lines, "With it known, %.0f to %.0f %% instead of %.0f to %.0f.", 100.0 * p->kept.low,
            100.0 * p->kept.high, 100.0 * d->before.low, 100.0 * d->before.high);
  if (!first)
    fg_note(lines, "Nothing that can be measured stands out.");
}

static void head(fg_node *root, const fg_doubts_story *story) {
  const fg_doubts *d = story->doubts;
  const fg_banded kept = {d->kept, d->kept_band}, fine = {d->fine_kept, d->fine_band};
  fg_node *group = fg_page_head(root, "Where the doubt comes from", "Scenario", story->scenario);
  fg_number_banded(group, "kept", "Gold kept", FG_Q_SHARE, &kept, 0);
  fg_number_banded(group, "fine_kept", isfinite(d->fine_band.mid) ? "- finer than 60 mesh" : NULL,
                   FG_Q_SHARE, &fine, 0);
  fg_number(group, "stall_share", "Share of the runs that stall", FG_Q_SHARE, d->stall_share, 0);
  fg_integer(group, "samples", "Runs, doubtful inputs drawn anew", (long)d->samples, 0);
  fg_integer(group, "seed", NULL, (long)d->seed, 0);
  fg_integer(group, "inputs_in_doubt", "Inputs in doubt", (long)d->inputs, 0);
  fg_number(group, "effective_samples", d->weighed ? "Runs that fit what was observed" : NULL,
            FG_Q_NUMBER, d->effective, 0);
  fg_report_outside(group, &kept, d->stall_share, d->weighed);
  if (d->stalled)
    fg_note(group,
            "With the nominal inputs the deck stalls: at its best it would carry %.0f %% of "
            "the feed. What follows is told of the runs that do not.",
            100.0 * (1.0 + d->capacity_margin));
}

/* How exactly `p` would be known. */
static const char *exactness(const fg_doubted_input *p, fg_unit_system units, char *buffer,
                             size_t size) {
  const double error = 0.5 * fg_measured_share * (p->high - p->low);
  return fg_quantity_error_text(fg_settings[p->row].quantity, units, error, buffer, size);
}

static void words_for(fg_node *group, const fg_doubts_story *story, const fg_doubted_input *p) {
  const fg_doubts *d = story->doubts;
  const fg_setting *setting = &fg_settings[p->row];
  char name[NAME], low[48], high[48], error[48];
  (void)fg_quantity_text(setting->quantity, story->units, p->low, low, sizeof low);
  (void)fg_quantity_text(setting->quantity, story->units, p->high, high, sizeof high);
  fg_bullet(group,
            "Measure your %s (%s): it alone is %.0f %% of the doubt%s. Now taken from %s to "
            "%s; known to +- %s, the kept share would lie between %.0f and %.0f %% instead "
            "of %.0f and %.0f %%.",
            plain_name(p->row, name), setting->key, 100.0 * (p->told ? p->share : p->fine_share),
            p->told ? "" : " about the fine gold", low, high,
            exactness(p, story->units, error, sizeof error), 100.0 * p->kept.low,
            100.0 * p->kept.high, 100.0 * d->before.low, 100.0 * d->before.high);
  const fg_measuring *measuring = fg_measuring_for(p->row);
  if (measuring)
    fg_note(group, "How: %s (%s)", measuring->how, measuring->exactness);
}

static void all_measured(fg_node *group, const fg_doubts *d) {
  char fine[96] = "";
  if (isfinite(d->together_fine.mid) && isfinite(d->fine_before.mid))
    (void)snprintf(fine, sizeof fine,
                   " (gold finer than 60 mesh: %.0f and %.0f %%, before %.0f and %.0f %%)",
                   100.0 * d->together_fine.low, 100.0 * d->together_fine.high,
                   100.0 * d->fine_before.low, 100.0 * d->fine_before.high);
  fg_note(group,
          "With the %zu strongest that can be measured known so, the kept share would lie "
          "between %.0f and %.0f %%%s.",
          d->together, 100.0 * d->together_kept.low, 100.0 * d->together_kept.high, fine);
}

/* What comes first though no run tells it from chance. */
static void first_by_swing(fg_node *group, const fg_worth *w) {
  char name[NAME];
  fg_bullet(
      group,
      "Measure your %s (%s): nothing that can be measured causes more of the doubt than chance "
      "would show, but from one end of its doubt to the other it alone moves the gold finer "
      "than 60 mesh by %.0f points.",
      plain_name(w->row, name), fg_settings[w->row].key, 100.0 * w->swing);
  fg_note(group, "How: %s (%s)", w->how->how, w->how->exactness);
}

static void advice(fg_node *root, const fg_doubts_story *story) {
  const fg_doubts *d = story->doubts;
  fg_node *group = fg_group(root, NULL, "What to measure first", FG_TEXT_ONLY);
  size_t told = 0;
  for (size_t i = 0; i < d->worths && told < TOLD_IN_WORDS; ++i) {
    const fg_doubted_input *p = fg_doubts_input(d, &d->worth[i]);
    if (!p || !p->narrowed)
      continue;
    words_for(group, story, p);
    ++told;
  }
  if (d->together > 1)
    all_measured(group, d);
  if (told == 0 && d->worths > 0 && d->worth[0].swing >= fg_telling_swing)
    first_by_swing(group, &d->worth[0]);
  else if (told == 0)
    fg_note(group, "Nothing that can be measured stands out.");
}

static void tracer(fg_node *root, const fg_doubts *d) {
  double sum = 0.0;
  char names[400] = "";
  for (size_t i = 0; i < d->count; ++i) {
    const fg_doubted_input *p = &d->input[i];
    char name[NAME];
    if (p->measurable || !p->told)
      continue;
    sum += p->share;
    const size_t used = strlen(names);
    (void)snprintf(names + used, sizeof names - used, "%s%s", used > 0 ? ", " : "",
                   plain_name(p->row, name));
  }
  if (sum <= 0.0)
    return;
  fg_node *group = fg_group(root, NULL, "What nobody can measure", FG_TEXT_ONLY);
  fg_note(group,
          "%.0f %% of the doubt is the model's own constants (%s). Only a tracer test "
          "narrows these: feed counted flakes or lead shot of known sizes with dry gravel, "
          "and pan tray and tailings.",
          100.0 * sum, names);
}

/* An input as it is told: what is below the noise or was not measured is unknown. */
typedef struct input_row {
  const char *key, *by;
  fg_doubted_input p;
  double told, fine_told; /* shares above the noise */
} input_row;

static input_row row_of(const fg_doubted_input *p) {
  input_row row = {fg_settings[p->row].key, p->measurable ? "measuring" : "tracer test", *p,
                   p->told ? p->share : (double)NAN, p->fine_told ? p->fine_share : (double)NAN};
  if (!p->narrowed)
    row.p.kept = row.p.fine = fg_band_unknown;
  return row;
}

#define OF(field) offsetof(input_row, field)
static const fg_column_of text_columns[] = {
    {NULL, "input", FG_Q_NUMBER, FG_FIELD_TEXT, OF(key)},
    {NULL, "all gold: alone", FG_Q_SHARE, FG_FIELD_NUMBER, OF(told)},
    {NULL, "in all", FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.total.all.share)},
    {NULL, "+-", FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.total.all.error)},
    {NULL, "fine gold: alone", FG_Q_SHARE, FG_FIELD_NUMBER, OF(fine_told)},
    {NULL, "in all", FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.total.fine.share)},
    {NULL, "+-", FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.total.fine.error)},
    {NULL, "kept then: low", FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.kept.low)},
    {NULL, "high", FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.kept.high)},
};

static const fg_column_of data_columns[] = {
    {"key", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(key)},
    {"share", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.share)},
    {"fine_share", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.fine_share)},
    {"total", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.total.all.share)},
    {"total_error", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.total.all.error)},
    {"fine_total", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.total.fine.share)},
    {"fine_total_error", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.total.fine.error)},
    {"narrowed_by", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(by)},
    {"range_low", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(p.low)},
    {"range_high", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(p.high)},
    {"measured_kept_low", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.kept.low)},
    {"measured_kept_mid", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.kept.mid)},
    {"measured_kept_high", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.kept.high)},
    {"measured_fine_low", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.fine.low)},
    {"measured_fine_mid", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.fine.mid)},
    {"measured_fine_high", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(p.fine.high)},
};
#undef OF

static void text_table(fg_node *root, const fg_doubts *d) {
  fg_node *table = fg_table(root, NULL, "Shares of the doubt", FG_TEXT_ONLY | FG_PROOF);
  FG_COLUMNS_OF(table, text_columns);
  for (size_t i = 0; i < d->count; ++i) {
    const input_row row = row_of(&d->input[i]);
    FG_ROW_OF(table, text_columns, &row);
  }
  if (d->total_rows == 0)
    return;
  const input_row others = {
      .key = "all others",
      .by = "",
      .p = {.total = d->others, .kept = fg_band_unknown, .fine = fg_band_unknown},
      .told = NAN,
      .fine_told = NAN};
  FG_ROW_OF(table, text_columns, &others);
}

static void method(fg_node *root, const fg_doubts *d) {
  double sum = 0.0;
  for (size_t i = 0; i < d->count; ++i)
    if (d->input[i].told)
      sum += d->input[i].share;
  fg_node *group = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  fg_note(group,
          "alone: by how much the doubt would fall on average with that input known. These add up "
          "to %.0f %% for all gold; the rest is inputs working together, and inputs too weak to be "
          "told from chance (below %.1f %%).",
          100.0 * sum, 100.0 * d->noise_floor);
  fg_note(group,
          "in all: what would be left of the doubt with everything else known, so alone and "
          "together with others: far above `alone`, an input matters by what others are. +- is one "
          "standard deviation, of %zu pairs of runs.",
          d->total_rows);
  fg_note(group,
          "kept then: the 80 %% band with that input known to a quarter of its range, from "
          "%zu runs each (before: %.0f to %.0f %%).",
          d->narrow_samples, 100.0 * d->before.low, 100.0 * d->before.high);
  fg_note(group,
          "Method: first-order indices of Sobol from the %zu runs of the sample that do not "
          "stall, sorted by one input and averaged in %zu bins (Plischke et al., Eur. J. "
          "Oper. Res. 226:536, 2013). Told is what shuffled outputs would not show: of "
          "the inputs named, 1 in 20 may be chance (false discovery rate, Benjamini & Hochberg, "
          "J. R. Stat. Soc. B 57:289, 1995). Total effects by Jansen (Comput. Phys. Commun. "
          "117:35, 1999), that input drawn anew; of all others at once in the last line.",
          d->running, d->bins);
}

static void data_table(fg_node *root, const fg_doubts *d) {
  fg_node *table = fg_table(root, "inputs", NULL, FG_PRIMARY | FG_DATA_ONLY);
  FG_COLUMNS_OF(table, data_columns);
  for (size_t i = 0; i < d->count; ++i) {
    const input_row row = row_of(&d->input[i]);
    FG_ROW_OF(table, data_columns, &row);
  }
}

static void data_facts(fg_node *root, const fg_doubts *d) {
  const fg_band before = d->narrow_samples > 0 ? d->before : fg_band_unknown;
  const fg_band together = d->together > 0 ? d->together_kept : fg_band_unknown;
  fg_node *group = fg_group(root, "method", NULL, FG_DATA_ONLY);
  fg_string(group, "source", NULL, "Plischke et al., Eur. J. Oper. Res. 226:536, 2013", 0);
  fg_integer(group, "bins", NULL, (long)d->bins, 0);
  fg_integer(group, "running", NULL, (long)d->running, 0);
  fg_number(group, "noise_floor", NULL, FG_Q_SHARE, d->noise_floor, 0);
  fg_number(group, "fine_noise_floor", NULL, FG_Q_SHARE, d->fine_noise_floor, 0);
  fg_integer(group, "total_pairs", NULL, (long)d->total_rows, 0);
  fg_number(group, "others_total", NULL, FG_Q_SHARE, d->others.all.share, 0);
  fg_number(group, "others_total_error", NULL, FG_Q_SHARE, d->others.all.error, 0);
  fg_number(group, "others_fine_total", NULL, FG_Q_SHARE, d->others.fine.share, 0);
  fg_number(group, "others_fine_total_error", NULL, FG_Q_SHARE, d->others.fine.error, 0);
  fg_number(group, "measured_to", NULL, FG_Q_SHARE, fg_measured_share, 0);
  fg_integer(group, "measured_samples", NULL, (long)d->narrow_samples, 0);
  fg_string(group, "measure_first", NULL, d->worths > 0 ? fg_settings[d->worth[0].row].key : NULL,
            0);
  fg_integer(group, "together", NULL, (long)d->together, 0);
  fg_number(group, "together_kept_low", NULL, FG_Q_SHARE, together.low, 0);
  fg_number(group, "together_kept_mid", NULL, FG_Q_SHARE, together.mid, 0);
  fg_number(group, "together_kept_high", NULL, FG_Q_SHARE, together.high, 0);
  fg_number(group, "before_low", NULL, FG_Q_SHARE, before.low, 0);
  fg_number(group, "before_mid", NULL, FG_Q_SHARE, before.mid, 0);
  fg_number(group, "before_high", NULL, FG_Q_SHARE, before.high, 0);
}

fg_report *fg_doubts_report(const fg_doubts_story *story) {
  fg_report *report = fg_report_new();
  const fg_doubts *d = story->doubts;
  fg_node *root = fg_report_root(report);
  answer(root, story);
  head(root, story);
  advice(root, story);
  if (d->enough) {
    tracer(root, d);
    text_table(root, d);
    method(root, d);
  } else {
    fg_node *group = fg_group(root, NULL, "No shares", FG_TEXT_ONLY);
    if (d->inputs == 0)
      fg_note(group, "No input of this scenario is in doubt.");
    else if (d->weighed && d->running >= 4 * d->bins)
      fg_note(group,
              "Too few of the runs fit what was observed (%.0f of %zu) to tell what causes the "
              "doubt: draw more with --samples, or see `flourgold check` for what contradicts "
              "what.",
              d->effective, d->samples);
    else
      fg_note(group,
              "Too few of the runs do not stall (%zu of %zu) to tell what causes the doubt: first "
              "make the deck run; `flourgold loss` tells what would.",
              d->running, d->samples);
  }
  data_table(root, d);
  data_facts(root, d);
  fg_page_end(root, story->scenario, NULL, story->units);
  return report;
}
