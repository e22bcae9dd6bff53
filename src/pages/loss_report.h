/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_LOSS_REPORT_H
#define FLOURGOLD_LOSS_REPORT_H

#include "flourgold/ensemble.h"
#include "flourgold/loss.h"
#include "pages/page.h"
#include "study/advice.h"
#include "study/gains.h"

/* What the report on one run is made of. */
typedef struct fg_loss_story {
  const fg_scenario *scenario;
  const fg_loss *loss; /* of a stalled deck: only its machine counts */
  const fg_trial *trials;
  const fg_gain *gains; /* of each */
  size_t trial_count;
  double kept_without_clay; /* NaN: not known */
  const fg_bands *bands;    /* NULL: the nominal run alone */
  fg_unit_system units;
} fg_loss_story;

/* The whole report of `flourgold loss`; NULL when memory ran out. */
fg_report *fg_loss_report(const fg_loss_story *story);

/* Its first lines. */
void fg_report_loss_answer(fg_node *root, const fg_loss_story *story);

/* The middle of the draws, where there are any. */
double fg_gain_middle(const fg_banded *gain);

/* What a trial does, as one tells a person: "open the gate to two thirds".  Returns buffer. */
const char *fg_trial_phrase(const fg_scenario *scenario, const fg_trial *trial,
                            fg_unit_system units, char *buffer, size_t size);

/* A stronger shake, in units of gravity, is not believable. */
extern const double fg_shake_most;

/* The machine's state as an object `state` with its text; bands may be NULL. */
void fg_report_state(fg_node *parent, const fg_loss *loss, const fg_bands *bands);

/* Lines whose fields are those of fg_loss, with their bands where there are bands. */
void fg_report_loss_lines(fg_node *parent, const fg_column_of *lines, size_t count,
                          const fg_loss *loss, const fg_bands *bands);

/* The table `gold` of a run, with bands (NULL: none). */
void fg_report_gold(fg_node *parent, const fg_loss *loss, const fg_bands *bands);

/* The trials of single changes, those that help in words and all as the table `trials`. */
void fg_report_advice(fg_node *parent, const fg_loss_story *story);

/* What limits the fine gold, in words. */
void fg_report_limits(fg_node *parent, const fg_loss *loss);

/* Beside a kept share that lies outside its own band: why, by the share of the runs that stall and
 * whether they were weighed by what was observed; else nothing. */
void fg_report_outside(fg_node *parent, const fg_banded *kept, double stall_share, bool weighed);

/* Samples, seed, share that stalls and effective size, as object `doubt` and, at the top,
 * `stall_share`. */
void fg_report_doubt(fg_node *parent, const fg_bands *bands);

/* What lies at the edge of the model, one bullet each, and the list `warnings`. */
void fg_report_warnings(fg_node *parent, const fg_scenario *scenario, const fg_machine *machine);

#endif
