/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first lines of the report on a run. */
#include <math.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

#include "flourgold/settings.h"
#include "pages/loss_report.h"
#include "pages/tune_report.h"
#include "report/said.h"
#include "scenario/settings_table.h"
#include "stats/band.h"
#include "study/knobs.h"
#include "study/plan.h"

enum { WORDS = 160 };

static const double few_stall = 0.01;  /* not worth a word */
static const double least_gain = 0.01; /* of gold per hour */
static const double hardly = 0.001;

/* "shut the gate", "open the gate to two thirds" */
static void gate_phrase(const fg_trial *trial, char *buffer, size_t size) {
  char words[WORDS];
  (void)fg_gate_words(trial->value, words, sizeof words);
  char *open = strstr(words, " open");
  if (!open)
    (void)snprintf(buffer, size, "shut the gate");
  else if (trial->value >= 1.0)
    (void)snprintf(buffer, size, "open the gate fully");
  else
    (void)snprintf(buffer, size, "%s %.*s", trial->words, (int)(open - words), words);
}

const char *fg_trial_phrase(const fg_scenario *scenario, const fg_trial *trial,
                            fg_unit_system units, char *buffer, size_t size) {
  char value[WORDS];
  int knob = 0;
  while (knob < FG_KNOBS && (int)fg_knob_rows[knob] != trial->row)
    ++knob;
  if (knob == FG_KNOB_GATE)
    gate_phrase(trial, buffer, size);
  else if (trial->row == FG_SET_SHAKER_UNBALANCE)
    (void)snprintf(buffer, size, "shake harder: a washer or two more off centre");
  else if (knob < FG_KNOBS)
    (void)snprintf(
        buffer, size, "%s %s%s", trial->words, knob == FG_KNOB_FEED ? "a bucket every " : "",
        fg_knob_words(scenario, units, (fg_knob)knob, trial->value, value, sizeof value));
  else
    (void)snprintf(
        buffer, size, "%s %s", trial->words,
        fg_said(fg_settings[trial->row].quantity, units, trial->value, value, sizeof value));
  return buffer;
}

double fg_gain_middle(const fg_banded *figure) {
  return isnan(figure->band.mid) ? figure->nominal : figure->band.mid;
}

/* Whether hardly a draw gets worse by it. */
static bool is_sure(const fg_banded *gain) {
  return isnan(gain->band.low) || gain->band.low >= -hardly;
}

static bool is_ground(const fg_trial *trial) {
  return trial->row == FG_SET_GROUND_MOISTURE || trial->row == FG_SET_GROUND_CLODS;
}

/* The change, of the deck or of the ground, that brings most gold per hour and hardly ever does
 * harm; NULL: none. */
static const fg_gain *best_of(const fg_loss_story *story, bool ground) {
  const fg_gain *best = NULL;
  for (size_t i = 0; i < story->trial_count; ++i) {
    const fg_gain *gain = &story->gains[i];
    if (!story->trials[i].stalled && is_ground(&story->trials[i]) == ground &&
        is_sure(&gain->rate) &&
        fg_gain_middle(&gain->rate) > (best ? fg_gain_middle(&best->rate) : least_gain))
      best = gain;
  }
  return best;
}

/* What to try first: at the deck, unless the ground brings more than twice as much. */
static const fg_gain *best_gain(const fg_loss_story *story) {
  const fg_gain *deck = best_of(story, false), *ground = best_of(story, true);
  return !deck || (ground && fg_gain_middle(&ground->rate) > 2.0 * fg_gain_middle(&deck->rate))
             ? ground
             : deck;
}

static void first_try(fg_node *answer, const fg_loss_story *story) {
  const fg_gain *gain = best_gain(story);
  char phrase[WORDS], rate[WORDS];
  if (!gain) {
    fg_note(answer, "No single change is sure to bring more gold an hour.");
    return;
  }
  const fg_trial *trial = &story->trials[gain - story->gains];
  (void)fg_trial_phrase(story->scenario, trial, story->units, phrase, sizeof phrase);
  (void)fg_said_change("% gold an hour", 100.0, &gain->rate, rate, sizeof rate);
  fg_note(answer, "First try: %s: %s.", phrase, rate);
}

/* The share kept: the middle of the runs and their band; then that of the file as written. */
static void kept_line(fg_node *answer, const fg_loss_story *story) {
  const fg_bands *bands = story->bands;
  const fg_banded kept = {story->loss->kept,
                          bands ? fg_bands_of(bands, offsetof(fg_loss, kept)) : fg_band_unknown};
  const char *name = fg_page_name(story->scenario);
  char share[WORDS], written[WORDS], stalls[WORDS] = "";
  (void)fg_said_banded(FG_Q_SHARE, story->units, &kept, share, sizeof share);
  (void)fg_said(FG_Q_SHARE, story->units, kept.nominal, written, sizeof written);
  if (bands && bands->stall_share >= few_stall)
    (void)snprintf(stalls, sizeof stalls, " Left out: the %.0f %% of runs that stall.",
                   100.0 * bands->stall_share);
  if (bands)
    fg_note(answer, "%s: keeps about %s of the gold; %s as written.%s", name, share, written,
            stalls);
  else
    fg_note(answer, "%s: keeps %s of the gold.", name, share);
}

/* The size that parts kept from lost, and where most of the lost goes. */
static void size_line(fg_node *answer, const fg_loss_story *story) {
  static const char *const ways[] = {"in clods and damp sand", "blown off", "over the tail",
                                     "shaken out of the riffles", "to full riffles"};
  const fg_loss *loss = story->bands ? &story->bands->at[FG_MID] : story->loss;
  const double lost[] = {loss->stuck, loss->blown_off, loss->carried, loss->shaken_out, loss->full};
  size_t most = 0;
  for (size_t i = 1; i < sizeof lost / sizeof lost[0]; ++i)
    if (lost[i] > lost[most])
      most = i;
  char size[WORDS];
  (void)fg_said(FG_Q_GRAIN_SIZE, story->units, loss->half_kept_m, size, sizeof size);
  size[strcspn(size, "(")] = '\0';
  if (isfinite(loss->half_kept_m))
    fg_note(answer, "Half of what is %s stays; most is lost %s.", size, ways[most]);
  else if (lost[most] > 0.0)
    fg_note(answer, "Most is lost %s.", ways[most]);
}

/* Of a deck that stalls: what would make it run in most of the draws. */
static void stall_lines(fg_node *answer, const fg_loss_story *story) {
  const fg_trial *best = NULL;
  double runs = 0.0;
  char phrase[WORDS];
  fg_note(answer, "%s: the deck stalls. The gravel piles up, stops, and nothing is sorted.",
          fg_page_name(story->scenario));
  for (size_t i = 0; i < story->trial_count; ++i) {
    const fg_trial *trial = &story->trials[i];
    const double share =
        isnan(story->gains[i].runs) ? trial->capacity_margin : story->gains[i].runs;
    if (!trial->stalled && share > runs) {
      best = trial;
      runs = share;
    }
  }
  if (!best) {
    fg_note(answer, "No single change makes it run: more air and shake at once, less feed, drier "
                    "ground.");
    return;
  }
  (void)fg_trial_phrase(story->scenario, best, story->units, phrase, sizeof phrase);
  if (story->bands)
    fg_note(answer, "First try: %s: it would run in %.0f %% of the runs.", phrase, 100.0 * runs);
  else
    fg_note(answer, "First try: %s: it would run.", phrase);
}

/* What makes all figures doubtful.  False when there is nothing of the kind. */
static bool not_to_be_believed(fg_node *answer, const fg_loss_story *story) {
  const fg_plan *plan = story->bands ? &story->bands->plan : NULL;
  const double gamma = story->loss->machine.at.shake.gamma;
  if (gamma > fg_shake_most)
    fg_note(answer,
            "Not believable: a shake of %.2g times gravity. Check what was given for the shaker.",
            gamma);
  else if (plan && plan->weighed && plan->effective < fg_least_effective)
    fg_note(answer, "What you saw running and this model contradict each other: no figure here "
                    "means much. Read again, and check what was given.");
  else
    return false;
  return true;
}

void fg_report_loss_answer(fg_node *root, const fg_loss_story *story) {
  fg_node *answer = fg_page_answer(root);
  if (story->loss->machine.stalled) {
    stall_lines(answer, story);
    return;
  }
  kept_line(answer, story);
  if (not_to_be_believed(answer, story))
    return;
  size_line(answer, story);
  first_try(answer, story);
}
