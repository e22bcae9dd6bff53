/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/day_report.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "core/text.h"
#include "pages/cautions.h"
#include "pages/page.h"
#include "stats/band.h"

enum { COLUMNS = 64, WORDS = 160 };

static const fg_trip *best_trip(const fg_day_story *story) {
  return &story->days->trip[story->days->order[0]];
}

/* ---- all trips ---- */

typedef struct trip_row {
  size_t rank;
  const char *scenario, *file;
  fg_banded grams;
  double grams_mean;
  double mean_kg, low_kg, high_kg;
  double buckets, fuel_m3, carry_kg, chance_best, stall_share;
} trip_row;

#define OF(field) offsetof(trip_row, field)
static const fg_column_of trip_columns[] = {
    {"rank", "", FG_Q_INTEGER, FG_FIELD_COUNT, OF(rank)},
    {"scenario", "trip", FG_Q_NUMBER, FG_FIELD_TEXT, OF(scenario)},
    {"grams", NULL, FG_Q_NUMBER, FG_FIELD_BANDED, OF(grams)},
    {"grams_mean", NULL, FG_Q_NUMBER, FG_FIELD_NUMBER, OF(grams_mean)},
    {NULL, "gold, mean", FG_Q_GOLD_MASS, FG_FIELD_NUMBER, OF(mean_kg)},
    {NULL, "low", FG_Q_GOLD_MASS, FG_FIELD_NUMBER, OF(low_kg)},
    {NULL, "high", FG_Q_GOLD_MASS, FG_FIELD_NUMBER, OF(high_kg)},
    {"buckets", "buckets", FG_Q_NUMBER, FG_FIELD_NUMBER, OF(buckets)},
    {"fuel_l", "fuel", FG_Q_VOLUME, FG_FIELD_NUMBER, OF(fuel_m3)},
    {"carry_kg", "carry", FG_Q_MASS, FG_FIELD_NUMBER, OF(carry_kg)},
    {"chance_best", "best", FG_Q_SHARE, FG_FIELD_NUMBER, OF(chance_best)},
    {"stall_share", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, OF(stall_share)},
    {"file", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, OF(file)},
};
#undef OF

static trip_row row_of(const fg_trip *t, size_t rank) {
  return (trip_row){.rank = rank,
                    .scenario = fg_page_name(t->scenario),
                    .file = t->scenario->file,
                    .grams = {1e3 * t->day.gold_kg, fg_band_scaled(&t->gold, 1e3)},
                    .grams_mean = 1e3 * t->mean_kg,
                    .mean_kg = t->mean_kg,
                    .low_kg = t->gold.low,
                    .high_kg = t->gold.high,
                    .buckets = round(t->day.buckets),
                    .fuel_m3 = t->day.fuel_m3,
                    .carry_kg = t->day.carry_kg,
                    .chance_best = t->chance_best,
                    .stall_share = t->stall_share};
}

typedef struct pair_row {
  const char *file, *than;
  double chance;
} pair_row;

static const fg_column_of pair_columns[] = {
    {"scenario", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, offsetof(pair_row, file)},
    {"than", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, offsetof(pair_row, than)},
    {"chance_better", NULL, FG_Q_SHARE, FG_FIELD_NUMBER, offsetof(pair_row, chance)},
};

static void add_pairs(fg_node *root, const fg_day_story *story) {
  const fg_days *days = story->days;
  const size_t best = days->order[0];
  fg_node *table = fg_table(root, "comparisons", NULL, FG_DATA_ONLY);
  fg_node *text = fg_group(root, NULL, "Which is better, and how sure", FG_TEXT_ONLY);
  FG_COLUMNS_OF(table, pair_columns);
  for (size_t i = 1; i < days->count; ++i) {
    const fg_scenario *first = days->trip[best].scenario;
    const fg_scenario *other = days->trip[days->order[i]].scenario;
    const pair_row row = {first->file, other->file, days->beats[best][days->order[i]]};
    FG_ROW_OF(table, pair_columns, &row);
    fg_bullet(text, "%s brings more than %s: %.0f in 100.", fg_page_name(first),
              fg_page_name(other), 100.0 * row.chance);
  }
  fg_note(text, "What both leave open in the same way is drawn once for both and so cannot decide; "
                "grade, damp and gold that they give differently are drawn for each.");
}

static void add_ranking(fg_node *root, const fg_day_story *story) {
  const fg_days *days = story->days;
  fg_node *table = fg_table(root, "trips", days->count > 1 ? "The trips, most gold first" : NULL,
                            FG_PRIMARY | (days->count > 1 ? FG_PROOF : FG_DATA_ONLY));
  FG_COLUMNS_OF(table, trip_columns);
  for (size_t i = 0; i < days->count; ++i) {
    const trip_row row = row_of(&days->trip[days->order[i]], i + 1);
    FG_ROW_OF(table, trip_columns, &row);
  }
  if (days->count > 1 && days->samples > 0)
    add_pairs(root, story);
}

/* ---- the best, or only, trip ---- */

static void add_catch(fg_node *root, const fg_day_story *story, const fg_trip *t) {
  const fg_day *day = &t->day;
  const bool doubt = story->days->samples > 0;
  const fg_band grams = fg_band_scaled(&t->gold, 1e3);
  fg_node *n = fg_group(root, NULL, "What the day brings (a model's figures)",
                        story->days->count > 1 ? 0 : FG_PROOF);
  fg_number_band(n, NULL, "Gold", FG_Q_GOLD_MASS, day->gold_kg, doubt ? &t->gold : NULL,
                 FG_TEXT_ONLY);
  fg_number_band(n, "grams", NULL, FG_Q_NUMBER, 1e3 * day->gold_kg, doubt ? &grams : NULL, 0);
  if (doubt)
    fg_number(n, "grams_mean", NULL, FG_Q_NUMBER, 1e3 * t->mean_kg, 0);
  fg_number(n, "buckets", "Buckets", FG_Q_NUMBER, round(day->buckets), 0);
  fg_number(n, "gravel_kg", "- their gravel", FG_Q_MASS, day->gravel_kg, 0);
  fg_number(n, "ground_m3", NULL, FG_Q_NUMBER, day->in_place_m3, 0);
  char words[WORDS];
  (void)snprintf(words, sizeof words, "%.2f yd3 (%.2f m3)", day->in_place_m3 / 0.764554857984,
                 day->in_place_m3);
  fg_string(n, NULL, "- ground in place", words, FG_TEXT_ONLY);
  fg_number(n, "concentrate_kg", "Concentrate to pan", FG_Q_MASS, day->concentrate_kg, 0);
  fg_number(n, "stall_share", doubt ? "Runs in which the deck stalls" : NULL, FG_Q_SHARE,
            t->stall_share, 0);
  if (isfinite(story->price_per_g)) {
    fg_number(n, "worth", "At the price given", FG_Q_NUMBER,
              1e3 * day->gold_kg * story->price_per_g, 0);
    fg_number(n, "worth_low", "- one day in ten less than", FG_Q_NUMBER,
              grams.low * story->price_per_g, doubt ? 0 : FG_DATA_ONLY);
    fg_number(n, "worth_high", "- one day in ten more than", FG_Q_NUMBER,
              grams.high * story->price_per_g, doubt ? 0 : FG_DATA_ONLY);
  }
  if (t->stalled)
    fg_note(n, "With these settings the deck stalls: it catches nothing, and `flourgold loss` "
               "shows what would make it run.");
}

static void add_time(fg_node *root, const fg_trip *t) {
  const fg_day *d = &t->day;
  const fg_scenario *s = t->scenario;
  fg_node *n = fg_group(root, "time", "Where the time goes", 0);
  fg_number(n, "length_h", "Away from the car", FG_Q_HOURS, d->walking_s + d->set_up_s + d->run_s,
            0);
  fg_number(n, "walking_h", "- walking with loads", FG_Q_HOURS, d->walking_s, 0);
  fg_number(n, "set_up_h", "- setting up, packing up", FG_Q_HOURS, d->set_up_s, 0);
  fg_number(n, "run_h", "- at the deck", FG_Q_HOURS, d->run_s, 0);
  fg_number(n, "fed_h", "-- gravel going in", FG_Q_HOURS, d->fed_s, 0);
  fg_number(n, "cleaning_h", "-- cleaning stops", FG_Q_HOURS, d->cleaning_s, 0);
  fg_number(n, "rest_h", "-- resting", FG_Q_HOURS, d->rest_s, 0);
  fg_number(n, "cleanings", "Cleanings", FG_Q_NUMBER, d->cleanings, 0);
  fg_number(n, "engine_h", "Blower turning", FG_Q_HOURS, d->engine_s, 0);
  fg_number(n, "work_share", "Work in each hour, by heat", FG_Q_SHARE, d->work_share, 0);
  fg_number(n, "duty", "Deck fed, of the running time", FG_Q_SHARE, d->duty, 0);
  if (d->end == FG_DAY_ENDS_LENGTH)
    fg_note(n, "The day's length (day.length) ends the run before run.hours does: walking and "
               "setting up take the rest.");
  if (d->work_share <= 0.0)
    fg_note(n, "At this heat the schedule has no time at all for heavy work: go at dawn, in the "
               "shade, or on another day.");
  else if (d->duty < 0.97)
    fg_note(n,
            "%d shoveller%s keep%s up %.0f %% of run.feed. A slower feed would lose less gold on "
            "the deck for the same sweat; `flourgold loss` shows how much.",
            s->day.people, s->day.people == 1 ? "" : "s", s->day.people == 1 ? "s" : "",
            100.0 * d->duty);
}

static void load_line(fg_text *text, const char *name, double kg, fg_unit_system units) {
  char weight[48];
  (void)fg_quantity_text(FG_Q_MASS, units, kg, weight, sizeof weight);
  fg_text_printf(text, "%-44s %10s\n", name, weight);
}

static const fg_column_of load_columns[] = {
    {"item", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, offsetof(fg_load_item, name)},
    {"kg", NULL, FG_Q_MASS, FG_FIELD_NUMBER, offsetof(fg_load_item, kg)},
};

void fg_report_load(fg_node *parent, const fg_day *day, fg_unit_system units) {
  fg_node *table = fg_table(parent, "load", NULL, FG_DATA_ONLY);
  fg_text text = {0};
  FG_COLUMNS_OF(table, load_columns);
  for (int i = 0; i < FG_LOAD_ITEMS; ++i) {
    if (!(day->load[i].kg > 0.0))
      continue;
    FG_ROW_OF(table, load_columns, &day->load[i]);
    load_line(&text, day->load[i].name, day->load[i].kg, units);
  }
  load_line(&text, "all together", day->carry_kg, units);
  char *lines = fg_text_take(&text, NULL);
  if (lines)
    fg_verbatim(parent, lines);
  free(lines);
}

static void add_load(fg_node *root, const fg_day_story *story, const fg_trip *t) {
  const fg_day *d = &t->day;
  const bool burns = d->fuel_m3 > 0.0;
  fg_node *n = fg_group(root, NULL, "What it takes", 0);
  fg_number(n, "fuel_l", burns ? "Fuel burnt" : NULL, FG_Q_VOLUME, d->fuel_m3, 0);
  fg_number(n, "oil_l", d->oil_m3 > 0.0 ? "- oil in it, 1:50" : NULL, FG_Q_VOLUME, d->oil_m3, 0);
  fg_number(n, "water_l_low", NULL, FG_Q_VOLUME, d->water_low_m3, 0);
  fg_number(n, "water_l", "Water drunk, at most", FG_Q_VOLUME, d->water_m3, 0);
  fg_number(n, NULL, "- at least", FG_Q_VOLUME, d->water_low_m3, FG_TEXT_ONLY);
  fg_number(n, "carry_kg", NULL, FG_Q_MASS, d->carry_kg, 0);
  fg_integer(n, "loads", "Loads, each person", (long)d->loads, 0);
  fg_node *pack = fg_group(root, NULL, "To carry in", 0);
  fg_report_load(pack, d, story->units);
  if (t->scenario->blower.kind == FG_BLOWER_BATTERY)
    fg_note(pack, "A battery blower empties a pack in minutes at full throttle: its label says how "
                  "many. Count the packs for the hours above; their weight is not in the list.");
  if (t->scenario->blower.kind == FG_BLOWER_MAINS)
    fg_note(pack, "A mains blower wants a generator, which is not in the list.");
}

static void add_rules(fg_node *root, const fg_day_story *story) {
  fg_node *n = fg_group(root, NULL, "How it is reckoned", FG_TEXT_ONLY);
  fg_note(n, "Gold: the model's kept share, times grade, times what is shovelled. Rests by NIOSH's "
             "sample schedule for heavy work; several people take turns. Fuel: a fifth of "
             "full-throttle use at idle, the rest with the cube of the throttle (estimate). Water: "
             "a cup every 15 to 20 minutes each.");
  if (story->days->samples > 0)
    fg_note(n,
            "In brackets, and low and high: one in ten below, one in ten above, in %zu runs with "
            "every doubtful input drawn anew; a run that stalls counts as no gold.",
            story->days->samples);
}

fg_report *fg_day_report(const fg_day_story *story) {
  fg_report *report = fg_report_new();
  const fg_trip *best = best_trip(story);
  fg_report_columns(report, COLUMNS);
  fg_node *root = fg_report_root(report);
  fg_report_day_answer(root, story);
  fg_node *head =
      fg_page_head(root, "Is the trip worth it",
                   story->days->count > 1 ? "Best of them" : "Scenario", best->scenario);
  fg_integer(head, "samples", NULL, (long)story->days->samples, 0);
  fg_integer(head, "seed", NULL, (long)story->seed, 0);
  add_ranking(root, story);
  add_catch(root, story, best);
  add_time(root, best);
  add_load(root, story, best);
  add_rules(root, story);
  fg_page_assumed(root, best->scenario, FG_DECK_GROUPS, story->units);
  fg_page_trust(root);
  fg_report_hazards(root, best->scenario, story->units, false);
  return report;
}
