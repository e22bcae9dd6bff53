/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_FLOURGOLD_H
#define FLOURGOLD_FLOURGOLD_H

/* The whole library: scenario in, machine, loss by size class, ensemble and best settings out.
 * Every number is SI, angles are radians, shares 0-1, unless its comment says otherwise.  A
 * function that can fail returns fg_status and leaves its results as they were unless that is
 * FG_OK.  Only fg_init() and fg_finish() touch what the process shares. */

#include "flourgold/air.h"
#include "flourgold/band.h"
#include "flourgold/bed.h"
#include "flourgold/blower.h"
#include "flourgold/catalogue.h"
#include "flourgold/complaints.h"
#include "flourgold/doubt.h"
#include "flourgold/drag.h"
#include "flourgold/ensemble.h"
#include "flourgold/grain.h"
#include "flourgold/kinds.h"
#include "flourgold/loss.h"
#include "flourgold/machine.h"
#include "flourgold/packing.h"
#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/settling.h"
#include "flourgold/shaker.h"
#include "flourgold/sinking.h"
#include "flourgold/status.h"
#include "flourgold/tune.h"
#include "flourgold/version.h"

#ifdef __cplusplus
extern "C" {
#endif

/* To be called once, before any other function of the library and before there are threads.
 * Switches off the error handler of GSL, which would end the process: the library looks at every
 * status that GSL returns.  The handler is the whole process's; a program that wants its own sets
 * it only around its own calls of GSL. */
void fg_init(void);

/* Frees what the library keeps between calls: the unit system that the first conversion loads and
 * the names of the files that were read.  Optional; afterwards the library can be used again. */
void fg_finish(void);

/* The version of the library that runs, "0.1.0"; FG_VERSION is that of the headers. */
const char *fg_version(void);

#ifdef __cplusplus
}
#endif

#endif
