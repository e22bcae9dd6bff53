/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What to do about damp, and how to see it. */
#include <math.h>
#include <stdio.h>

#include "core/date.h"
#include "core/text.h"
#include "pages/dry_internal.h"
#include "physics/evaporation.h"
#include "physics/moisture.h"
#include "physics/soil.h"
#include "physics/weighed.h"

static const double bucket_m3 = 0.01892705892; /* 5 US gallons */
static const double raked_m = 0.05;            /* a rake turns two inches: estimate */
static const double foot2_m2 = 0.3048 * 0.3048;

typedef struct tarp_case {
  fg_spread spread;
  double after;      /* moisture */
  double thickest_m; /* that would be dry enough; 0: none */
} tarp_case;

/* The thickest layer, to a millimetre, that dries to the deck's limit; 0: none does. */
static fg_status solve_thickest(const fg_spread *spread, double goal, double *thickest_m) {
  *thickest_m = 0.0;
  if (!(spread->residual < goal) || spread->moisture <= goal)
    return FG_OK;
  for (int mm = (int)(1e3 * raked_m); mm >= 1; --mm) {
    fg_spread tried = *spread;
    double after;
    tried.thickness_m = 1e-3 * mm;
    const fg_status status = fg_spread_drying(&tried, &after);
    if (status != FG_OK)
      return status;
    if (after <= goal) {
      *thickest_m = tried.thickness_m;
      return FG_OK;
    }
  }
  return FG_OK;
}

static fg_status solve_tarp(const fg_dry_story *story, tarp_case *t) {
  const fg_drying *d = story->drying;
  const fg_drying_day *day = &d->days[d->given - 1];
  t->spread = (fg_spread){
      .thickness_m = story->tarp_m,
      .raked_m = raked_m,
      .sun_s = story->sun_s,
      .daylight_s = day->et0.daylight_s,
      .net_w_m2 = day->et0.net_w_m2,
      .air_k = day->tmax_k - 0.25 * (day->tmax_k - day->tmin_k),
      .vapour_pa = day->et0.vapour_pa,
      .pressure_pa = day->et0.pressure_pa,
      .wind_m_s = day->et0.wind_m_s,
      .bulk_kg_m3 = story->scenario->ground.bulk_density,
      .moisture = day->dug,
      .residual = d->column.residual * FG_WATER_KG_M3 / d->column.dry_kg_m3,
  };
  const fg_status status = fg_spread_drying(&t->spread, &t->after);
  return status == FG_OK ? solve_thickest(&t->spread, d->damp.limit, &t->thickest_m) : status;
}

static void tarp_words(fg_node *group, const fg_dry_story *story, const tarp_case *t) {
  const fg_drying *d = story->drying;
  char thick[48], best[48], date[FG_DATE_TEXT_MAX];
  (void)fg_date_text(d->days[d->given - 1].day, date, sizeof date);
  (void)fg_quantity_text(FG_Q_LENGTH, story->units, t->spread.thickness_m, thick, sizeof thick);
  (void)fg_quantity_text(FG_Q_LENGTH, story->units, t->thickest_m, best, sizeof best);
  if (t->spread.moisture <= d->damp.limit) {
    fg_note(group, "Not needed: what is dug on %s holds %.2f %% water, dry enough as it is.", date,
            100.0 * t->spread.moisture);
    return;
  }
  fg_note(group,
          "With weather like that of %s, gravel spread %s thick and raked now and then goes "
          "from %.2f to %.2f %% water in %.1f hours of sun around noon: %s.",
          date, thick, 100.0 * t->spread.moisture, 100.0 * t->after, t->spread.sun_s / 3600.0,
          t->after <= d->damp.limit ? "dry enough, so it helps" : "still too damp");
  if (t->thickest_m > 0.0)
    fg_note(group,
            "No thicker than %s dries enough in that time. So thick, a bucket covers %.0f "
            "ft2 (%.1f m2).",
            best, bucket_m3 / t->thickest_m / foot2_m2, bucket_m3 / t->thickest_m);
  else
    fg_note(group, "No thickness dries enough: what stays in this ground after any sun is too "
                   "much for this deck.");
}

void fg_dry_tarp(fg_node *root, const fg_dry_story *story) {
  tarp_case t;
  fg_node *group = fg_group(root, "tarp", "Spread on a tarp?", 0);
  if (solve_tarp(story, &t) != FG_OK)
    return;
  fg_number(group, "thickness_mm", NULL, FG_Q_LENGTH, t.spread.thickness_m, FG_DATA_ONLY);
  fg_number(group, "sun_h", NULL, FG_Q_HOURS, t.spread.sun_s, FG_DATA_ONLY);
  fg_number(group, "before_percent", NULL, FG_Q_PERCENT, t.spread.moisture, FG_DATA_ONLY);
  fg_number(group, "after_percent", NULL, FG_Q_PERCENT, t.after, FG_DATA_ONLY);
  fg_number(group, "thickest_mm", NULL, FG_Q_LENGTH, t.thickest_m, FG_DATA_ONLY);
  tarp_words(group, story, &t);
}

/* Scales of one gram and of a tenth of an ounce are common; half a pound and two pounds are
 * what a pan dries on a stove. */
void fg_dry_field_tests(fg_node *root, const fg_dry_story *story) {
  static const double sample_kg[2] = {0.25, 1.0};
  const fg_damp *damp = &story->drying->damp;
  fg_node *group = fg_group(root, NULL, "Tests on the spot", FG_TEXT_ONLY);
  fg_bullet(group, "Squeeze a handful of what passes the screen, from the foot of the cut. A lump "
                   "that stays: far too damp. A lump that falls apart at a touch: still too damp. "
                   "No lump, cool to the skin: on the edge. Runs through the fingers and makes "
                   "dust: dry. (Common practice, no source.)");
  fg_bullet(group, "Weigh, dry, weigh: dry a screened sample in a pan on a stove, outdoors, until "
                   "its weight stops falling. Moisture = weight lost / dry weight.");
  if (!isinf(damp->limit)) {
    double error[2] = {0}, moisture;
    for (int i = 0; i < 2; ++i)
      if (fg_moisture_weighed(sample_kg[i] * (1.0 + damp->limit), sample_kg[i], 0.0, 2e-3,
                              &moisture, &error[i]) != FG_OK)
        return;
    fg_bullet(group,
              "This deck wants no more than %.2f %%: of a dry kilogram no more than %.0f g "
              "lost, of half a pound no more than %.1f g. With a scale good to 1 g (one "
              "standard deviation) a kilogram tells the moisture to +-%.2f points, 250 g to "
              "+-%.2f; another handful differs by more.",
              100.0 * damp->limit, 1e3 * damp->limit, 226.796 * damp->limit, 100.0 * error[1],
              100.0 * error[0]);
  }
  fg_bullet(group, "Give the result back: --measured DATE=PERCENT starts the curve from it.");
}

static void list_fallbacks(fg_node *group, unsigned used) {
  fg_node *list = fg_list(group, "fallbacks", 0);
  for (unsigned bit = 1; bit < FG_ET0_FALLBACKS_END; bit <<= 1) {
    const char *text = fg_et0_fallback_text(bit);
    if (!(used & bit) || !text)
      continue;
    fg_list_string(list, text);
    fg_bullet(group, "%s", text);
  }
}

void fg_dry_weather(fg_node *root, const fg_dry_story *story) {
  const fg_drying *d = story->drying;
  const fg_drying_options *o = story->options;
  char last[FG_DATE_TEXT_MAX];
  fg_node *group = fg_group(root, NULL, "How the weather was used", 0);
  (void)fg_date_text(d->days[d->given - 1].day, last, sizeof last);
  if (o->days_ahead > 0)
    fg_note(group, "After %s: %d days without rain, each like %s.", last, o->days_ahead,
            o->means ? "the mean of its month" : "the mean of the last 14 days given");
  fg_string(group, "after_last_row", NULL,
            o->days_ahead == 0 ? "nothing"
            : o->means         ? "monthly means"
                               : "mean of the last 14 days",
            FG_DATA_ONLY);
  fg_note(group, "Evaporation by FAO-56 Penman-Monteith. Where the weather lacks something:");
  list_fallbacks(group, d->fallbacks);
  fg_number(group, "hargreaves_ratio", NULL, FG_Q_NUMBER, d->hargreaves_ratio, FG_DATA_ONLY);
  if (!isnan(d->hargreaves_ratio))
    fg_note(group, "Check: Hargreaves' formula, from temperatures alone, gives %.0f %% of it%s.",
            100.0 * d->hargreaves_ratio,
            fabs(d->hargreaves_ratio - 1.0) > 0.35 ? "; so far apart, look at wind, humidity and "
                                                     "sun in the file"
                                                   : "");
  fg_node *notes = fg_list(group, "weather_notes", 0);
  for (size_t k = 0; k < 2; ++k) {
    const fg_weather *w = k == 0 ? o->weather : o->means;
    for (size_t i = 0; w && i < w->notes.count; ++i) {
      fg_list_string(notes, w->notes.lines[i]);
      fg_bullet(group, "%s", w->notes.lines[i]);
    }
  }
}
