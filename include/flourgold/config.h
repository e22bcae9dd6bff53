/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CONFIG_H
#define FLOURGOLD_CONFIG_H

#include "flourgold/complaints.h"
#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"

#ifdef __cplusplus
extern "C" {
#endif

/* Reads a scenario: defaults, then the file, then each "group.key=value" of
 * `sets`, then resolving and range checks.  Every fault found is reported in
 * *complaints, not just the first.  FG_ESCENARIO when there is any, FG_EIO when
 * the file cannot be read.  *out is written only on FG_OK. */
fg_status fg_scenario_read(const char *path, const char *const *sets, size_t set_count,
                           fg_scenario *out, fg_complaints *complaints);

/* Splits "1 1/2 in" into number and unit and converts to the internal unit of
 * `quantity`.  *basis (may be NULL) receives an fg_basis for kinds with more
 * than one.  On failure writes a sentence saying what is wrong and what would be
 * right into message[size]. */
fg_status fg_parse_quantity(const char *text, fg_quantity quantity, double *si, int *basis,
                            char *message, size_t size);

/* The same for a value that may be written with its error, one standard deviation: "8 in +-
 * 1/8 in", "0.8 +- 0.3 %", "250 Pa +- 10 %" (of the value, where % is no unit of the kind
 * itself).  *error receives it in the internal unit, temperatures without their offset, on
 * the basis of the value; 0 where none is written. */
fg_status fg_parse_measured(const char *text, fg_quantity quantity, double *si, double *error,
                            int *basis, char *message, size_t size);

/* What was probably meant by a share, as `written`, that is far above the setting's range:
 * "; for 80 % write \"80 %\"", or "" when nothing is plain.  hint[size] is always terminated. */
void fg_share_hint(const fg_setting *setting, double si, const char *written, char *hint,
                   size_t size);

/* The same as fg_scenario_read() for a scenario in memory; `path` stands for it in messages,
 * and a blower catalogue is looked for beside it. */
fg_status fg_scenario_read_text(const char *path, const char *text, fg_scenario *out,
                                fg_complaints *complaints);

/* Every blower of a catalogue in the place of the scenario's own, resolved: *each (the caller
 * frees it) holds *count scenarios, named in blower.name, in the order of the catalogue.  What
 * the machine's readings gave stays as it was.  catalogue NULL: the one the scenario would use.
 * FG_EIO, FG_ESCENARIO and FG_EMEMORY with complaints; a catalogue without blowers is a fault. */
fg_status fg_catalogue_read(const char *catalogue, const fg_scenario *scenario, fg_scenario **each,
                            size_t *count, fg_complaints *complaints);

/* A blower by its label, "450 cfm, 170 mph" or with its kind behind ("..., battery"), in the
 * place of the scenario's own, resolved.  Mass, fuel and noise count as assumed.  On
 * FG_ESCENARIO a sentence in message[size] says what is wrong and what would be right. */
fg_status fg_blower_label(const char *label, const fg_scenario *scenario, fg_scenario *out,
                          char *message, size_t size);

/* Frees the unit system that the first conversion loaded. */
void fg_units_free(void);

#ifdef __cplusplus
}
#endif

#endif
