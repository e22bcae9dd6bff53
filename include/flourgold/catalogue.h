/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CATALOGUE_H
#define FLOURGOLD_CATALOGUE_H

#include <stddef.h>

#include "flourgold/complaints.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Every blower of a catalogue in the place of the own one of a resolved scenario, resolved: *each
 * (to be freed by free()) holds *count scenarios, named in blower.name, in the order of the
 * catalogue.  What the machine's readings gave stays as it was; what was seen of it running is left
 * out.  catalogue: a path; NULL: the one the scenario would use.  It may hold 200 blowers, and
 * without any it is faulty.  FG_EIO, FG_ESCENARIO and FG_EMEMORY with complaints. */
fg_status fg_catalogue_read(const char *catalogue, const fg_scenario *scenario, fg_scenario **each,
                            size_t *count, fg_complaints *complaints);

/* A blower by its label, "450 cfm, 170 mph" or with its kind behind ("..., battery"), in the
 * place of the own one of a resolved scenario, resolved; `out` may be `scenario` itself.  Mass,
 * fuel and noise count as assumed.  On FG_ESCENARIO a sentence in message[size] says what is wrong
 * and what would be right; FG_EMEMORY without one. */
fg_status fg_catalogue_label(const char *label, const fg_scenario *scenario, fg_scenario *out,
                             char *message, size_t size);

#ifdef __cplusplus
}
#endif

#endif
