/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_BESIDE_H
#define FLOURGOLD_BESIDE_H

#include "cli/cli.h"
#include "flourgold/loss.h"

/* Tells `loss` of several scenarios side by side, the others against the first, from the same
 * draws.  Returns the exit code. */
int fg_call_beside(const fg_call *call, const fg_loss_options *options);

#endif
