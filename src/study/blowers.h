/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_BLOWERS_H
#define FLOURGOLD_BLOWERS_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "flourgold/tune.h"
#include "study/best.h"

/* One blower after the other on the same deck, each at its own best settings. */

/* A kind of ground to choose a blower by before one's own is known. */
typedef struct fg_ground_kind {
  const char *name, *words;
  double moisture, clay, median_grain, grain_spread; /* SI */
} fg_ground_kind;

enum { FG_GROUND_KINDS = 3 };
extern const fg_ground_kind fg_ground_kinds[FG_GROUND_KINDS];

/* Whether the scenario says anything about its ground. */
bool fg_ground_known(const fg_scenario *scenario);

/* Puts a kind of ground into a scenario, as given, and resolves it. */
fg_status fg_ground_put(const fg_ground_kind *kind, fg_scenario *scenario);

enum { FG_BLOWERS_SAMPLES = 64 }; /* enough to tell blowers apart on a kind of ground */

typedef struct fg_blowers_options {
  size_t samples; /* members that judge a blower */
  unsigned long seed;
  bool exact;         /* the nominal run alone */
  const fg_best *own; /* what was found for the scenario's own blower with the same samples and
                         seed, or NULL: on another ground */
} fg_blowers_options;

/* What a blower does at its best settings; NaN: not known, or the nominal run does not. */
typedef struct fg_blower_verdict {
  char name[FG_TEXT_MAX];
  int kind;           /* fg_blower_kind */
  bool runs;          /* false: it carries the bed at no setting tried */
  bool stalled;       /* the nominal run at the best settings */
  double volume_m3_s; /* label, or the curve's last point */
  double nozzle_m_s;  /* label; NaN of a curve */
  double at[FG_KNOBS];
  double stall_share; /* of the members, at these settings */
  double flow_m3_s;   /* from the blower */
  double deck_m3_s, bled_m3_s, leak_m3_s;
  double bled_share;   /* by the gate */
  double full_m3_s;    /* what it would give at full throttle against this box pressure */
  double spare_share;  /* of that: more than deck and leaks take, throttled off or bled */
  double velocity_m_s; /* up through the open strips */
  double box_pa;
  double support;            /* share of the bed's weight that the air carries there */
  fg_banded kept, kept_kg_s; /* bands: a stalled member keeps nothing */
  double mean_kg_s;          /* gold over all members: what the settings were chosen by */
  double half_kept_m, capacity_margin;
  double fuel_m3, oil_m3; /* for the planned hours */
  double carry_kg;        /* blower with its tank full, and that fuel and oil */
  double noise_dba, niosh_s, osha_s;
  /* Full throttle here over full throttle at sea level. */
  double speed_here, volume_here, pressure_here;
} fg_blower_verdict;

/* The name of a scenario's blower in a comparison. */
const char *fg_blower_name(const fg_scenario *scenario);

/* Tunes the scenario's deck for its blower (fg_tune_run, quickly) and judges it there.  FG_OK
 * also when it runs at no setting; failures as fg_tune_run(). */
fg_status fg_blower_judge(const fg_scenario *scenario, const fg_blowers_options *options,
                          fg_blower_verdict *verdict);

/* Judges `count` scenarios that differ in their blowers and sorts the verdicts by volume, smallest
 * first, then by name.  The scenario's own blower has the settings that were found for it; without
 * these, or where it does not run, the smallest, the largest and one between are tuned from
 * scratch. All others tune throttle and gate on the slope, feed and screen of the best of these, so
 * that chance in the searches does not tell blowers apart; those that stall there or give all they
 * have are tuned from scratch too. */
fg_status fg_blowers_judge(const fg_scenario *each, size_t count, const fg_blowers_options *options,
                           fg_blower_verdict *verdicts);

/* Index of the smallest blower that brings within 3 % of the most gold an hour among `count`
 * verdicts sorted by volume; -1 when none runs. */
long fg_blower_enough(const fg_blower_verdict *verdicts, size_t count);

#endif
