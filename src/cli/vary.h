/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_VARY_H
#define FLOURGOLD_VARY_H

#include "cli/cli.h"
#include "flourgold/loss.h"

/* Tells `loss` with one setting at each of the values of --vary, "run.feed=1,2,3min/bucket", beside
 * the scenario as it is; a value without a unit has that of the last.  `bands` NULL: the nominal
 * runs alone.  Returns the exit code. */
int fg_call_vary(const fg_call *call, const fg_scenario *scenario, const fg_loss_options *options,
                 const fg_loss *loss, const fg_bands *bands);

#endif
