/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first lines on which blower to carry. */
#include <math.h>
#include <stdio.h>

#include "pages/blowers_report.h"
#include "pages/page.h"
#include "report/said.h"

enum { NAME = FG_TEXT_MAX };

static const double no_difference = 0.95; /* over the most, of the middles */

/* "backpack 50cc" of "backpack_50cc". */
static const char *plain(const char *name, char buffer[NAME]) {
  (void)snprintf(buffer, NAME, "%s", name);
  for (char *p = buffer; *p != '\0'; ++p)
    if (*p == '_')
      *p = ' ';
  return buffer;
}

static double gold(const fg_blower_verdict *v) {
  return isnan(v->kept_kg_s.band.mid) ? v->kept_kg_s.nominal : v->kept_kg_s.band.mid;
}

/* The lightest of those that run, and how their gold compares; NULL: none runs. */
static const fg_blower_verdict *lightest(const fg_blowers_ground *g, size_t count, size_t *running,
                                         double *least_over_most) {
  const fg_blower_verdict *found = NULL;
  double least = INFINITY, most = 0.0;
  *running = 0;
  for (size_t i = 0; i < count; ++i) {
    const fg_blower_verdict *v = &g->verdict[i];
    if (!v->runs)
      continue;
    ++*running;
    least = fmin(least, gold(v));
    most = fmax(most, gold(v));
    if (!found || isnan(found->carry_kg) || v->carry_kg < found->carry_kg)
      found = v;
  }
  *least_over_most = most > 0.0 ? least / most : 0.0;
  return found;
}

static void ground_line(fg_node *lines, const fg_blowers_story *story, const fg_blowers_ground *g) {
  char name[NAME], volume[NAME], mass[NAME];
  const char *where = story->grounds > 1 ? g->name : fg_page_name(story->scenario);
  size_t running = 0;
  double least_over_most = 0.0;
  const fg_blower_verdict *light = lightest(g, story->count, &running, &least_over_most);
  const long enough = fg_blower_enough(g->verdict, story->count);
  if (!light || enough < 0)
    fg_note(lines, "%s: none of these blowers carries the bed.", where);
  else if (running > 1 && least_over_most >= no_difference)
    fg_note(lines, "%s: no real difference between the %zu that run; carry the lightest, %s (%s).",
            where, running, plain(light->name, name),
            fg_said(FG_Q_MASS, story->units, light->carry_kg, mass, sizeof mass));
  else
    fg_note(lines, "%s: %s (%s) is enough%s.", where, plain(g->verdict[enough].name, name),
            fg_quantity_text(FG_Q_VOLUME_RATE, story->units, g->verdict[enough].volume_m3_s, volume,
                             sizeof volume),
            (size_t)enough + 1 < story->count ? "; bigger ones bring less than 3 % more gold" : "");
}

void fg_report_blowers_answer(fg_node *root, const fg_blowers_story *story) {
  fg_node *lines = fg_page_answer(root);
  for (size_t g = 0; g < story->grounds; ++g)
    ground_line(lines, story, &story->ground[g]);
}
