/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_VERDICT_H
#define FLOURGOLD_VERDICT_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/band.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "input/counts_csv.h"

/* A day's catch against all that is in doubt: how likely it was, and what took the gold.
 *
 * Members of the ensemble are weighed by the likelihood of what was found (importance sampling
 * from the prior: Smith & Gelfand, Am. Stat. 46:84, 1992).  Each member is then run again with
 * one suspect after the other put right - its settings as the scenario has them, all else as
 * drawn - which gives what that suspect took there: ln of the catch put right over the catch
 * expected.  Luck is ln of the catch expected over the catch found.  A suspect's share in a
 * member is its part of all that took something there; its weight is the mean share over the
 * weighed members: how much of the shortfall it explains, given the model, the doubts and the
 * finds.  The weights add to 1. */

typedef enum fg_cause {
  FG_CAUSE_GROUND = 0, /* poor ground */
  FG_CAUSE_DAMP,
  FG_CAUSE_MUCH_AIR,
  FG_CAUSE_LITTLE_AIR,
  FG_CAUSE_FLAKY,
  FG_CAUSE_FINE, /* gold finer than thought */
  FG_CAUSE_FULL, /* riffles full of black sand */
  FG_CAUSE_FEED,
  FG_CAUSE_REST, /* the deck sorts worse than the model's middle */
  FG_CAUSE_LUCK, /* few grains */
  FG_CAUSES
} fg_cause;

extern const char *const fg_cause_names[FG_CAUSES]; /* "poor ground", "damp" ... */

/* The suspect that a setting belongs to; air stands under FG_CAUSE_LITTLE_AIR. */
fg_cause fg_cause_of(int row);

typedef struct fg_evidence {
  double loose_m3;       /* gravel run */
  double found_kg;       /* gold weighed */
  double error_kg;       /* of the scale, one standard deviation, above 0 */
  const fg_counts *tail; /* tailings panned again; NULL: none.  Its gravel is what went over the
                            tail, not what was shovelled */
} fg_evidence;

typedef struct fg_suspicion {
  double weight; /* part of the shortfall that it explains */
  double main;   /* chance that it took most of all */
  double factor; /* the catch would be this times larger with it put right: geometric mean */
} fg_suspicion;

typedef struct fg_verdict {
  size_t samples, running; /* members, and those whose deck does not stall */
  double expected_kg;      /* nominal; NaN when the nominal deck stalls */
  fg_band predicted;       /* of the scale, grains and all: before the finds */
  double chance;           /* of a catch as small or smaller */
  double chance_tail;      /* that the tailings show so few colours or fewer; NaN: none panned */
  double stall_share;
  double effective; /* Kish's effective number of members after weighing */
  fg_suspicion cause[FG_CAUSES];
  fg_cause order[FG_CAUSES];   /* heaviest first */
  fg_band grade_before, grade; /* of the ground, kg/m3 in place: before and after the finds */
  fg_band kept_before, kept;   /* share of all gold */
  double clean_every_s;        /* the interval that every command names for these settings; NaN */
} fg_verdict;

/* FG_ESTALL when fewer than a tenth of the members run; FG_ENOROOT when no member can have
 * given such finds; FG_EDOMAIN for evidence out of range; FG_EMEMORY. */
fg_status fg_verdict_run(const fg_scenario *scenario, const fg_evidence *evidence, size_t samples,
                         unsigned long seed, fg_verdict *verdict);

/* The sentence "Clean every 20 min of running ..."; empty where that cannot be told. */
const char *fg_verdict_cleaning(const fg_verdict *verdict, char *buffer, size_t size);

/* The one check that would tell most next: re-panning the tailings where that was not done and
 * ground or luck stands against the deck, else the test of the heaviest suspect. */
const char *fg_verdict_next(const fg_verdict *verdict, bool tail_panned);

/* How far a day strays from what the scenario says, where it gives no error: one row a setting,
 * 10 and 90 % as factors.  Assumed. */
typedef struct fg_stray {
  fg_setting_row row;
  double low, high;
} fg_stray;
extern const fg_stray fg_strays[];
extern const size_t fg_strays_count;

#endif
