/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The first lines of the best settings. */
#include <math.h>
#include <stdio.h>

#include "pages/page.h"
#include "pages/tune_report.h"
#include "report/said.h"

enum { WORDS = 96 };

/* What is won is not surely won. */
static const double sure_share = 0.5;

void fg_report_tune_answer(fg_node *root, const fg_tune_story *story, const fg_tuned *tuned,
                           const fg_scenario *set) {
  fg_node *lines = fg_page_answer(root);
  const char *name = fg_page_name(story->scenario);
  const bool hourly = story->options->aim == FG_AIM_GOLD_PER_HOUR;
  char knob[FG_KNOBS][WORDS], gain[WORDS], kept[WORDS], present[WORDS];
  bool same = true;
  for (int k = 0; k < FG_KNOBS; ++k) {
    same = same && tuned->best.at[k] == tuned->present.at[k];
    (void)fg_knob_words(set, story->units, (fg_knob)k, tuned->best.at[k], knob[k], WORDS);
  }
  if (same)
    fg_note(lines, "%s: stay as you are; nothing found is surely better.", name);
  else
    fg_note(lines, "%s: throttle %s, gate %s, slope %s, screen %s, a bucket every %s.", name,
            knob[FG_KNOB_THROTTLE], knob[FG_KNOB_GATE], knob[FG_KNOB_SLOPE], knob[FG_KNOB_SCREEN],
            knob[FG_KNOB_FEED]);
  const fg_banded change = {NAN, tuned->gain};
  if (!same && isfinite(tuned->better_share))
    fg_note(lines, "%s than as now, better in %.0f of 100 runs%s.",
            fg_said_change(hourly ? "% gold an hour" : "% gold kept", 100.0, &change, gain,
                           sizeof gain),
            100.0 * tuned->better_share,
            tuned->better_share <= sure_share || tuned->gain.mid <= 0.0
                ? ": no better than a guess, stay as you are"
                : "");
  else if (!same)
    fg_note(lines, "As set now the deck does not run at all.");
  const fg_banded share = {NAN, tuned->best_kept}, now = {NAN, tuned->present_kept};
  if (isfinite(tuned->best_kept.mid))
    fg_note(lines, "It keeps %s of the gold, now %s%s.",
            fg_said_banded(FG_Q_SHARE, story->units, &share, kept, sizeof kept),
            fg_said(FG_Q_SHARE, story->units, now.band.mid, present, sizeof present),
            hourly && tuned->best_kept.mid < tuned->present_kept.mid - 0.005
                ? ": more an hour, of more gravel, and fine gold pays for it"
                : "");
}
