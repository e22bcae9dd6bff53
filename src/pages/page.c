/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "pages/page.h"

#include <stdio.h>
#include <string.h>

#include "flourgold/version.h"
#include "pages/setting_view.h"
#include "physics/sieve.h"

const char *fg_page_name(const fg_scenario *scenario) {
  if (scenario->site.name[0] != '\0')
    return scenario->site.name;
  const char *slash = strrchr(scenario->file, '/');
  return slash ? slash + 1 : scenario->file;
}

const char *fg_page_mesh(double lower_m, double upper_m, char *buffer, size_t size) {
  const int fine = fg_sieve_nearest(lower_m), coarse = fg_sieve_nearest(upper_m);
  if (fine > 0 && coarse > 0 && fine != coarse)
    (void)snprintf(buffer, size, "%d to %d", coarse, fine);
  else
    (void)snprintf(buffer, size, "%.3g-%.3g mm", 1e3 * lower_m, 1e3 * upper_m);
  return buffer;
}

fg_node *fg_page_head(fg_node *root, const char *title, const char *label,
                      const fg_scenario *scenario) {
  fg_node *head = fg_group(root, NULL, title, 0);
  fg_string(head, "version", NULL, FG_VERSION, 0);
  fg_string(head, "scenario", label, fg_page_name(scenario), 0);
  return head;
}

fg_node *fg_page_answer(fg_node *root) { return fg_answer(root); }

/* The place of a line that stands for a part of the page. */
static fg_node *stand_in(fg_node *root) {
  return fg_group(root, NULL, NULL, FG_TEXT_ONLY | FG_SHORT_ONLY);
}

void fg_page_assumed(fg_node *root, const fg_scenario *scenario, const char *groups,
                     fg_unit_system units) {
  fg_node *heading = fg_group(root, NULL, "Assumed, not given", 0);
  const size_t count =
      fg_settings_add_origin_in(heading, "assumed", scenario, FG_FROM_DEFAULT, groups, units);
  if (count > 0)
    fg_note(stand_in(root), "Assumed: %zu setting%s; flourgold check %s", count,
            count == 1 ? "" : "s", scenario->file);
}

const char fg_page_trust_text[] =
    "A model, unproven on any machine. Nobody has published how much gold by size such a "
    "tray keeps, nor measured gold flakes falling in air; laws for flakes differ by a "
    "quarter in speed. How fast fine gold slips down between the grains is unknown to a "
    "factor of ten. Trust the order of things (what helps, what hurts, which sizes go "
    "first) more than the figures, and re-pan your own tailings.";

void fg_page_trust(fg_node *parent) {
  fg_note(fg_group(parent, NULL, "How far to trust this", FG_TEXT_ONLY), "%s", fg_page_trust_text);
  fg_note(stand_in(parent), "A model, unproven on any machine: flourgold help trust");
}

const char fg_page_cautions_text[] =
    "The dust holds silica: stand upwind and wear a fitted respirator. Wear hearing "
    "protection. Never run an engine in a pit, trench or tunnel, nor refuel it hot; mind "
    "sparks and fire orders. Drink before you are thirsty. Stay out of old workings. Local "
    "rules, claims and land status come first.";

void fg_page_cautions(fg_node *parent) {
  fg_note(fg_group(parent, NULL, "Take care", FG_TEXT_ONLY), "%s", fg_page_cautions_text);
  fg_note(stand_in(parent), "Silica dust, noise, fumes, old workings: flourgold help cautions");
}

void fg_page_end(fg_node *root, const fg_scenario *scenario, const char *groups,
                 fg_unit_system units) {
  if (groups)
    fg_page_assumed(root, scenario, groups, units);
  fg_page_trust(root);
  fg_page_cautions(root);
}
