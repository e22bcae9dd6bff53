/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_PLAN_H
#define FLOURGOLD_PLAN_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/band.h"
#include "flourgold/doubt.h"
#include "flourgold/ensemble.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

/* The draws behind an ensemble, member by member. */

/* Of the draws that a search goes by: the same always, so that one deck gets one answer. */
enum { FG_SEARCH_SEED = 1 };

/* The one rule for what is in doubt of a setting of a resolved scenario, number or choice of laws:
 * the error it was given with, as one standard deviation; else, when it is assumed, the likely
 * range of the settings table, stretched to hold the value; else half that range moved to the
 * value given (in factors where the ends lie 1.5 apart or more).  The ends hold the middle 80 %.
 * False when there is none: no error and no range, given as 0, a dimension or knob that was given,
 * or worked out from a reading that is itself in doubt. */
bool fg_doubt_of(const fg_scenario *scenario, int row, fg_doubt *doubt);

/* One standard deviation of a normal distribution whose middle 80 % are low to high. */
double fg_doubt_deviation(double low, double high);

/* Value at a probability 0-1 (open ends), held inside the setting's allowed range. */
double fg_doubt_value(const fg_doubt *doubt, double probability);

/* The doubt as it stands on `base`: an error written on a throttle, gate, slope, feed or screen
 * says how far these stray from where they are set, so it is centred on where `base` sets them. */
void fg_doubt_recentre(const fg_scenario *base, fg_doubt *doubt);

/* Writes that value into a scenario; call fg_scenario_resolve() after the last. */
void fg_doubt_apply(const fg_doubt *doubt, double probability, fg_scenario *scenario);

/* One ensemble under all studies: doubts are listed and drawn, members weighed by what was seen on
 * the running machine, run, and what they say is summed up by fg_weighted_band() with the same
 * weights.  Members that stall are counted by fg_plan_run(); what a stall is worth, nothing or no
 * place at all, says each study. */

/* Draws the plan for a resolved scenario.  FG_EDOMAIN when samples is 0 or above the largest;
 * a scenario without doubts gets no columns, and members equal to itself. */
fg_status fg_plan_new(const fg_scenario *scenario, size_t samples, unsigned long seed,
                      fg_plan *plan);
/* Plans of several scenarios from the same draws: what is in doubt of more than one of them is
 * drawn once, so that what they keep can be compared member by member.  The first has the table
 * that fg_plan_new() draws it.  `plans` has room for `count`; all are freed on failure. */
fg_status fg_plans_new(const fg_scenario scenarios[], size_t count, size_t samples,
                       unsigned long seed, fg_plan plans[]);
/* Draws the table of a plan whose samples and doubts are filled in, all else 0. */
fg_status fg_plan_draw(fg_plan *plan, unsigned long seed);
void fg_plan_free(fg_plan *plan);

/* Member `index` of the plan: `base` with its draws (knobs about where `base` sets them), resolved.
 */
fg_status fg_plan_member(const fg_plan *plan, const fg_scenario *base, size_t index,
                         fg_scenario *member);

/* Calls judge for members 0 to count - 1, on all threads; it may write to its own slot only.
 * Members that do not resolve are passed over.  judge returns FG_OK for a deck that runs, FG_ESTALL
 * for one that stalls, else the member has no answer.  *stall_share (may be NULL): those that
 * stall over those with an answer, by weight; NaN when there is none.  Returns the first failure of
 * memory. */
typedef fg_status (*fg_judge)(const fg_scenario *member, size_t index, void *context);
fg_status fg_plan_run(const fg_plan *plan, const fg_scenario *base, size_t count, fg_judge judge,
                      void *context, double *stall_share);

/* Weights of the members by what was seen on the running machine (observed.*): the likelihood of
 * the readings with their errors, scaled to a mean of 1.  A member that has no answer weighs
 * nothing.  Without readings, or when no member can have shown them, all weigh 1. */
fg_status fg_plan_weigh(fg_plan *plan, const fg_scenario *base);

/* Fewer effective members than this: model and readings contradict each other. */
extern const double fg_least_effective;

/* Draws the members of a weighed plan anew by weight, each in proportion, and so that the first few
 * are a fair choice too (golden-ratio sequence over the cumulated weight).  All weigh the same from
 * then on. */
fg_status fg_plan_resample(fg_plan *plan);

/* Weighs a plan and, where something was observed, draws its members anew by weight. */
fg_status fg_plan_fit(fg_plan *plan, const fg_scenario *base);

/* The band of one number of a run, by its offset in fg_loss. */
fg_band fg_bands_of(const fg_bands *bands, size_t offset);

#endif
