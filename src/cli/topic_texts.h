/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_TOPIC_TEXTS_H
#define FLOURGOLD_TOPIC_TEXTS_H

/* What the longer topics of the help say: paragraphs with a line feed between; one that begins with
 * "- " is a bullet. */

extern const char fg_scenario_text[];
extern const char fg_units_text[];
extern const char fg_json_text[];
extern const char fg_statistics_text[];
extern const char fg_sampling_text[];
extern const char fg_drying_text[];
extern const char fg_kriging_text[];
extern const char fg_settings_text[];
extern const char fg_phone_text[];

#endif
