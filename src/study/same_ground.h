/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SAME_GROUND_H
#define FLOURGOLD_SAME_GROUND_H

#include "flourgold/loss.h"
#include "flourgold/scenario.h"

/* Where the gold was counted in the tray, settings or machines can be compared only on the same
 * ground: puts the one that a run made out behind the catch into the scenario.  Nothing is done
 * when the run stalled or the gold was counted in the ground. */
void fg_feed_same_ground(fg_scenario *scenario, const fg_loss *loss);

/* The same from a run of its own.  FG_OK also when that stalls; failures as fg_loss_run(). */
fg_status fg_feed_own_ground(fg_scenario *scenario);

#endif
