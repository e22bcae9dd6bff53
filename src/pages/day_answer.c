/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first lines on a trip. */
#include <math.h>
#include <stdio.h>

#include "pages/day_report.h"
#include "pages/page.h"
#include "report/said.h"

enum { WORDS = 96 };

void fg_report_day_answer(fg_node *root, const fg_day_story *story) {
  const fg_days *days = story->days;
  const fg_trip *best = &days->trip[days->order[0]];
  fg_node *lines = fg_page_answer(root);
  const fg_banded gold = {best->day.gold_kg, best->gold};
  char mass[WORDS], load[WORDS];
  if (best->stalled && !(best->gold.mid > 0.0))
    fg_note(lines,
            "%s: the deck stalls, so the day brings nothing; flourgold loss tells what would "
            "help.",
            fg_page_name(best->scenario));
  else
    fg_note(lines, "%s: about %s of gold in the day, from %.0f buckets.",
            fg_page_name(best->scenario),
            fg_said_banded(FG_Q_GOLD_MASS, story->units, &gold, mass, sizeof mass),
            fg_said_rounded(FG_Q_MASS, best->day.buckets));
  if (days->count > 1)
    fg_note(lines, "It brings more than %s in %.0f of 100 runs.",
            days->count > 2 ? "any other" : fg_page_name(days->trip[days->order[1]].scenario),
            100.0 * (days->samples > 0 ? best->chance_best : 1.0));
  fg_note(lines, "Carry in %s, in %zu load%s a person.",
          fg_said(FG_Q_MASS, story->units, best->day.carry_kg, load, sizeof load), best->day.loads,
          best->day.loads == 1 ? "" : "s");
  if (isfinite(story->price_per_g))
    fg_note(lines, "At your price that is %.2g; gold alone, nothing taken off.",
            story->price_per_g * 1e3 *
                (isnan(best->gold.mid) ? best->day.gold_kg : best->gold.mid));
}
