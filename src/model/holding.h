/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_HOLDING_H
#define FLOURGOLD_HOLDING_H

#include <stddef.h>

#include "flourgold/loss.h"
#include "flourgold/machine.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

/* What the riffles hold as time goes on after a cleaning, all from one run. */
typedef struct fg_holding {
  fg_machine machine;
  size_t riffles, moments;
  double *after_s;        /* [moments] running time since the cleaning */
  double *fill;           /* [moments][riffles] share of each pocket full of heavy sand */
  double *held_s;         /* [moments] gold held then, over the gold fed a second: kept x time */
  double *fine_held_s;    /* the same of the gold finer than `fine_m`; NaN: there is none */
  double *concentrate_kg; /* [moments] sand in all pockets, heavy and light */
  double gold_kg_s;       /* gold fed a second that passes the screen */
} fg_holding;

/* Runs the model over rising moments (s) after a cleaning, the time steps ending there; the
 * scenario's own cleaning interval does not count.  FG_ESTALL when the deck stalls: only
 * holding->machine is filled then.  FG_EDOMAIN when the moments do not rise from above 0; other
 * failures as fg_loss_run().  Free with fg_holding_free() after FG_OK. */
fg_status fg_holding_run(const fg_scenario *scenario, const fg_loss_options *options,
                         const double *after_s, size_t moments, double fine_m, fg_holding *holding);
void fg_holding_free(fg_holding *holding);

#endif
