/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SETTING_HELP_H
#define FLOURGOLD_SETTING_HELP_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/quantity.h"
#include "flourgold/settings.h"

/* What the settings table says of a setting, in words: for `keys` and for the manual page. */

enum { FG_SETTING_WORDS = 576 }; /* room for the longest of these texts */

/* "number", "choice" ... */
const char *fg_setting_type_text(const fg_setting *setting);

/* The words of a choice with commas; empty for other settings.  Returns buffer, as do the others.
 */
const char *fg_setting_choices_text(const fg_setting *setting, char *buffer, size_t size);

/* How a value is written in a scenario file, with an example in these units. */
const char *fg_setting_written_text(const fg_setting *setting, fg_unit_system units, char *buffer,
                                    size_t size);

/* What stands for a setting that is not given; `both`: in US and SI units. */
const char *fg_setting_default_text(const fg_setting *setting, fg_unit_system units, bool both,
                                    char *buffer, size_t size);

typedef void fg_setting_line(void *context, const char *label, const char *text);

/* Hands line after line with its label ("Meaning", "Written", "Default", "Allowed" ..., how to
 * measure it last) to `line`, together with `context`. */
void fg_setting_explain(const fg_setting *setting, fg_unit_system units, bool both,
                        fg_setting_line *line, void *context);

#endif
