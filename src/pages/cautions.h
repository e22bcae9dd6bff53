/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CAUTIONS_H
#define FLOURGOLD_CAUTIONS_H

#include <stdbool.h>

#include "flourgold/scenario.h"
#include "report/report.h"

/* Adds the hazards of such a day with their published figures, worked out for this scenario's
 * dust, noise and heat, as text and as the object `cautions`.  brief: one line or two each, for
 * the card. */
void fg_report_hazards(fg_node *parent, const fg_scenario *scenario, fg_unit_system units,
                       bool brief);

#endif
