/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_PAGE_H
#define FLOURGOLD_PAGE_H

#include "flourgold/scenario.h"
#include "report/report.h"

/* What the pages share: how they begin and how they end. */

/* The groups of settings that a run of the deck goes by. */
#define FG_DECK_GROUPS "site ground gold screen deck shaker hose gate blower run closure"

/* Begins a page: its title (NULL: it shows none), and for the data version and scenario; people
 * see the scenario's name behind `label`, unless that is NULL.  Returns the heading. */
fg_node *fg_page_head(fg_node *root, const char *title, const char *label,
                      const fg_scenario *scenario);

/* The place of a page's answer, before its head: at most five lines of plain words.  The figures in
 * them come from the fields that fill its tables. */
fg_node *fg_page_answer(fg_node *root);

/* Ends a page: what was assumed of the groups of settings named, with blanks between ("gold
 * sample"; NULL: nothing is told of that), how far to trust a model, and the usual cautions; in the
 * short form one line each, with the command that tells it. */
void fg_page_end(fg_node *root, const fg_scenario *scenario, const char *groups,
                 fg_unit_system units);
/* The parts of that. */
void fg_page_assumed(fg_node *root, const fg_scenario *scenario, const char *groups,
                     fg_unit_system units);
void fg_page_trust(fg_node *root);
void fg_page_cautions(fg_node *root);

/* Those texts. */
extern const char fg_page_trust_text[], fg_page_cautions_text[];

/* Name of the scenario for people: the site's, else its file's. */
const char *fg_page_name(const fg_scenario *scenario);

/* "40 to 60" in mesh where both apertures are close to numbered sieves, else in mm. */
const char *fg_page_mesh(double lower_m, double upper_m, char *buffer, size_t size);

#endif
