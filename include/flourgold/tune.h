/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_TUNE_H
#define FLOURGOLD_TUNE_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/ensemble.h"
#include "flourgold/loss.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The best settings of a deck, judged on an ensemble: a setting is worth the mean over the
 * members, and a member that stalls is worth nothing, so that a setting next to the cliff loses
 * to one with margin.  Where settings are as good as each other the choice is free, and goes by a
 * stated order: the present setting; then a slope that trade bulletins give (4 to 6 inches to the
 * foot: Silva 1986, Special Publication 87); then less throttle: less noise, fuel and dust; then
 * less feed: less sweat. */

typedef enum fg_knob {
  FG_KNOB_THROTTLE = 0,
  FG_KNOB_GATE,
  FG_KNOB_SLOPE,
  FG_KNOB_FEED,
  FG_KNOB_SCREEN,
  FG_KNOBS
} fg_knob;

typedef enum fg_aim {
  FG_AIM_GOLD_PER_HOUR = 0, /* mean gold kept per hour */
  FG_AIM_LEAST_LOSS         /* mean kept share, at the feed given */
} fg_aim;

typedef struct fg_knob_range {
  bool free;
  double low, high; /* SI; from the group limits and the settings table */
} fg_knob_range;

enum { FG_SCREENS_MAX = 8 };

typedef struct fg_tune_options {
  fg_aim aim;
  fg_knob_range knob[FG_KNOBS];
  size_t screens; /* openings owned, for a free screen */
  double screen_m[FG_SCREENS_MAX];
  size_t samples;        /* members that judge what was found */
  size_t search_samples; /* members of the search; 0: default */
  unsigned long seed;    /* of those that judge; the search goes by the same draws always */
  bool quick;            /* fewer candidates: for one cell of a table */
  bool hinted;           /* start from `hint` too: a place good for like ground */
  double hint[FG_KNOBS]; /* SI */
  bool exact;            /* judged on the nominal run alone */
} fg_tune_options;

/* One setting of all knobs and what the ensemble says of it. */
typedef struct fg_judged {
  double at[FG_KNOBS]; /* SI */
  double aim;          /* kg/s of gold, or a share; mean over members, stalls as 0 */
  double stall_share;
} fg_judged;

/* Bands are over all members, a stalled one counted as nothing. */
typedef struct fg_tuned {
  fg_judged best, present;
  fg_band best_kept, best_kg_s, present_kept, present_kg_s;
  fg_band best_fine, present_fine; /* share of the fine gold (below 60 mesh); NaN: there is none */
  fg_judged found;                 /* what the search found, taken or not */
  bool stay;                       /* best is the present setting: nothing found is surely better */
  bool edge_low[FG_KNOBS], edge_high[FG_KNOBS];   /* the range, not the physics, set it */
  double good_low[FG_KNOBS], good_high[FG_KNOBS]; /* where the aim is within 3 % of the best: this
                          knob moved alone, or all together as the search saw them */
  double better_share; /* of the members that keep anything now: how many gain */
  bool weighed;        /* the members were weighed by readings on the running machine */
  double effective;    /* effective sample size then; 0: no member can have shown them */
  fg_band gain;        /* of the aim, best over present less 1, by member */
  size_t runs;         /* of the model */
} fg_tuned;

/* The row of the settings table that a knob turns; FG_SET_NONE for a number that is no knob. */
fg_setting_row fg_tune_knob_row(fg_knob knob);

/* Defaults for a resolved scenario: every knob but the screen free (the screen too when
 * limits.screens names some; the feed not for FG_AIM_LEAST_LOSS), ranges from the group limits. */
void fg_tune_defaults(const fg_scenario *scenario, fg_aim aim, fg_tune_options *options);

/* Puts a setting of the knobs (SI, in the order of fg_knob) into a scenario and resolves it into
 * *set, which may be the scenario itself and holds the setting after a failure too.  Failures as
 * fg_scenario_resolve(). */
fg_status fg_tune_apply(const fg_scenario *scenario, const double at[FG_KNOBS], fg_scenario *set);

/* The knobs as a scenario has them (SI). */
void fg_tune_present(const fg_scenario *scenario, double at[FG_KNOBS]);

/* Searches: a low-discrepancy set of candidates, the better of them judged again by more members,
 * then climbing by response surfaces (Box & Wilson, J. R. Statist. Soc. B 13:1, 1951) from the
 * best places apart from each other, then all members on what these find.  The stated order costs
 * at most 2.5 % of the aim.  The result stands on marks that a hand can set: throttle by 5 %, the
 * gate by eighths and thirds, the slope by a quarter of an inch to the foot, the feed by five
 * seconds a bucket.  The present setting is kept when it is within 1 % of that, or when fewer than
 * nine in ten members gain, and it lies within the ranges. FG_ESTALL when every candidate stalls in
 * every member; FG_EDOMAIN for 0 samples or more than FG_SAMPLES_MAX; FG_EMEMORY.  The same options
 * give the same answer, with any number of threads. Thousands of runs of the model: some seconds.
 */
fg_status fg_tune_run(const fg_scenario *scenario, const fg_tune_options *options, fg_tuned *tuned);

#ifdef __cplusplus
}
#endif

#endif
