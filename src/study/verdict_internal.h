/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_SITE_VERDICT_INTERNAL_H
#define FG_SITE_VERDICT_INTERNAL_H

#include <gsl/gsl_rng.h>

#include "flourgold/ensemble.h"
#include "study/catch.h"
#include "study/verdict.h"

/* Grades each member is judged at: the model runs once for all of them, because the deck does not
 * feel the grade.  They share the member's other draws. */
enum { FG_GRADES = 8 };

/* What a member with one of its grades says of the finds. */
typedef struct fg_finds {
  bool running;
  double log_likelihood; /* of catch and tailings */
  double expected_kg;
  double at_most;      /* chance of a catch so small or smaller */
  double tail_at_most; /* the same of the tailings' colours */
  double drawn_kg;     /* one catch at random */
  double grade, kept;
  double harm[FG_CAUSES];
} fg_finds;

/* What each suspect took as shares of all that took something (nothing: luck); returns the one that
 * took most. */
fg_cause fg_finds_shares(const fg_finds *finds, double shares[FG_CAUSES]);

/* The scenario as its members start from it: what strays stands in SI, or resolving would put what
 * was written back over the draw. */
void fg_verdict_base(const fg_scenario *scenario, fg_scenario *base);

/* The ensemble of a verdict: the deck's doubts, and how a day strays. */
fg_status fg_verdict_plan(const fg_scenario *scenario, size_t samples, unsigned long seed,
                          fg_plan *plan);

/* Expected catch (kg) of a scenario, NaN when it does not run; *air_ratio (may be NULL): air
 * through the open strips over what floats the bed. */
double fg_expected_catch(const fg_scenario *scenario, double loose_m3, double *air_ratio);

/* Fills the FG_GRADES finds of a member from its run of the model, harm left out. */
void fg_member_finds(const fg_scenario *member, const fg_loss *loss, const double grades[FG_GRADES],
                     const fg_evidence *evidence, gsl_rng *rng, fg_finds *finds);

/* The grades of a member, spread evenly over its doubt, the first its own draw; all the same
 * when the grade is in no doubt. */
void fg_member_grades(const fg_plan *plan, size_t index, double own, double grades[FG_GRADES]);

/* Fills the harm of a member's FG_GRADES finds: it is run again with each suspect put right. */
void fg_member_harm(const fg_plan *plan, const fg_scenario *base, size_t index,
                    const fg_evidence *evidence, fg_finds *finds);

#endif
