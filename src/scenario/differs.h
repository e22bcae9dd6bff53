/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_DIFFERS_H
#define FLOURGOLD_DIFFERS_H

#include <stdbool.h>

#include "flourgold/scenario.h"

/* Whether two resolved scenarios say different things of a setting: another value or list, another
 * error, or given here and assumed there.  What both have worked out from other settings differs
 * only as these do, and is no difference of its own. */
bool fg_setting_differs(const fg_scenario *a, const fg_scenario *b, int row);

#endif
