/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What can hurt on such a day.  Figures: 29 CFR 1926.1153 and 1910.95, NIOSH 98-126, the NIOSH
 * pocket guide, NIOSH 2017-127 and 2016-106, CDC on coccidioidomycosis. */
#include "pages/cautions.h"

#include <math.h>
#include <stdio.h>

#include "flourgold/settings.h"
#include "physics/engine.h"
#include "physics/heat.h"
#include "physics/safety.h"
#include "study/plan.h"

enum { WORDS = 96 };

/* Figures of one day; NaN where a limit is not defined. */
typedef struct hazards {
  double silica_s, silica_least_s, silica_most_s;
  double niosh_s, osha_s;
  double adjusted_k, work_share;
} hazards;

static double dose_s(double dust) {
  double seconds;
  return fg_silica_hours(dust, &seconds) == FG_OK ? seconds : (double)NAN;
}

static hazards find_hazards(const fg_scenario *s) {
  hazards h = {.silica_s = dose_s(s->day.dust), .niosh_s = NAN, .osha_s = NAN, .adjusted_k = NAN};
  fg_doubt dust;
  if (fg_doubt_of(s, FG_SET_DAY_DUST, &dust)) {
    h.silica_least_s = dose_s(dust.high);
    h.silica_most_s = dose_s(fmax(dust.low, 0.1 * s->day.dust));
  }
  (void)fg_noise_hours(s->blower.noise, &h.niosh_s, &h.osha_s);
  (void)fg_heat_adjusted(s->day.hottest, s->site.humidity, (fg_sky)s->day.sky, &h.adjusted_k);
  h.work_share = fg_heat_work_share(h.adjusted_k);
  return h;
}

/* "19 min", "2.3 h" */
static const char *time_words(double seconds, char *buffer) {
  if (seconds < 5400.0)
    (void)snprintf(buffer, WORDS, "%.0f min", seconds / 60.0);
  else
    (void)snprintf(buffer, WORDS, "%.2g h", seconds / 3600.0);
  return buffer;
}

static bool burns_fuel(const fg_scenario *s) {
  return fg_blower_is_engine((fg_blower_kind)s->blower.kind);
}

static void add_data(fg_node *parent, const fg_scenario *s, const hazards *h) {
  fg_node *data = fg_group(parent, "cautions", NULL, FG_DATA_ONLY);
  fg_number(data, "dust_ug_m3", NULL, FG_Q_NUMBER, 1e9 * s->day.dust, 0);
  fg_number(data, "silica_h", NULL, FG_Q_HOURS, h->silica_s, 0);
  fg_number(data, "silica_h_low", NULL, FG_Q_HOURS, h->silica_least_s, 0);
  fg_number(data, "silica_h_high", NULL, FG_Q_HOURS, h->silica_most_s, 0);
  fg_number(data, "silica_limit_ug_m3", NULL, FG_Q_NUMBER, 1e9 * fg_silica_limit_kg_m3, 0);
  fg_number(data, "noise_dba", NULL, FG_Q_NOISE, s->blower.noise, 0);
  fg_number(data, "noise_niosh_h", NULL, FG_Q_HOURS, h->niosh_s, 0);
  fg_number(data, "noise_osha_h", NULL, FG_Q_HOURS, h->osha_s, 0);
  fg_number(data, "monoxide_rel_ppm", NULL, FG_Q_NUMBER, 35.0, 0);
  fg_number(data, "monoxide_ceiling_ppm", NULL, FG_Q_NUMBER, 200.0, 0);
  fg_number(data, "heat_adjusted_c", NULL, FG_Q_TEMPERATURE, h->adjusted_k, 0);
  fg_number(data, "heat_work_share", NULL, FG_Q_SHARE, h->work_share, 0);
}

static void law(fg_node *n, bool brief) {
  fg_bullet(n, brief ? "Local law, claims, permits and licensed practice come first."
                     : "Before all else: local law, land status, claims, permits, and a licence "
                       "where digging, dust or water needs one. What this page says yields to "
                       "them.");
}

static void silica(fg_node *n, const fg_scenario *s, const hazards *h, fg_unit_system units,
                   bool brief) {
  char dust[WORDS], mid[WORDS], least[WORDS], most[WORDS];
  (void)fg_quantity_text(FG_Q_DUST, units, s->day.dust, dust, sizeof dust);
  (void)time_words(h->silica_s, mid);
  (void)time_words(h->silica_least_s, least);
  (void)time_words(h->silica_most_s, most);
  if (brief)
    fg_bullet(n, "Silica: a day's dose in %s (%s to %s) at %s. Upwind, respirator.", mid, least,
              most, dust);
  else
    fg_bullet(n,
              "Silica: the permissible limit is 50 ug/m3 over 8 hours (OSHA, 29 CFR 1926.1153). At "
              "%s of respirable silica (day.dust) that dose is full in %s; over its range in %s to "
              "%s. Nobody has published what such trays raise. Stand upwind and wear a fitted "
              "respirator, P100 or at least N95.",
              dust, mid, least, most);
}

static void valley_fever(fg_node *n, bool brief) {
  fg_bullet(n, brief ? "Valley fever: cough or fever weeks later: tell a doctor."
                     : "Valley fever: desert soil may hold the fungus Coccidioides. A respirator "
                       "lowers the risk, it does not end it; cough, fever or tiredness 1 to 3 "
                       "weeks later: tell a doctor where you dug (CDC).");
}

static void noise(fg_node *n, const fg_scenario *s, const hazards *h, bool brief) {
  char niosh[WORDS], osha[WORDS];
  if (!isfinite(h->niosh_s))
    return;
  (void)time_words(h->niosh_s, niosh);
  (void)time_words(h->osha_s, osha);
  if (brief)
    fg_bullet(n, "Noise, %.0f dBA: %s (NIOSH), %s (OSHA). Wear muffs.", s->blower.noise, niosh,
              osha);
  else
    fg_bullet(n,
              "Noise: at %.0f dBA the dose of a day is full in %s (NIOSH 98-126, recommended) or "
              "%s (OSHA, 29 CFR 1910.95). Wear muffs or plugs while it runs, everyone near.",
              s->blower.noise, niosh, osha);
}

static void monoxide(fg_node *n, const fg_scenario *s, bool brief) {
  if (!burns_fuel(s))
    return;
  fg_bullet(n, brief ? "CO, limit 35 ppm, ceiling 200: no engine in pit or tunnel."
                     : "Carbon monoxide: recommended limit 35 ppm over the day, ceiling 200 "
                       "(NIOSH). Never run an engine in a pit, trench or tunnel, nor beside one.");
}

static void heat(fg_node *n, const fg_scenario *s, const hazards *h, fg_unit_system units,
                 bool brief) {
  char shade[WORDS], schedule[WORDS];
  (void)fg_quantity_text(FG_Q_TEMPERATURE, units, s->day.hottest, shade, sizeof shade);
  const double work = 60.0 * h->work_share;
  if (h->work_share >= 1.0)
    (void)snprintf(schedule, sizeof schedule,
                   brief ? "no extra rests" : "no rest beyond the usual is asked for");
  else if (h->work_share > 0.0)
    (void)snprintf(schedule, sizeof schedule,
                   brief ? "work %.0f, rest %.0f min"
                         : "shovel %.0f, rest %.0f minutes of each hour",
                   work, 60.0 - work);
  else
    (void)snprintf(schedule, sizeof schedule,
                   brief ? "too hot" : "too hot for heavy work: go at dawn, or another day");
  if (brief)
    fg_bullet(n, "Heat, %s in the shade: %s. Drink a cup every 15 to 20 min.", shade, schedule);
  else
    fg_bullet(n,
              "Heat: %s in the shade, %s; %s (NIOSH 2017-127, heavy work). A cup of water every 15 "
              "to 20 minutes, no more than six an hour; food with salt. Confused or no longer "
              "sweating: cool at once and call for help.",
              shade,
              s->day.sky == FG_SKY_SUN     ? "worked in full sun"
              : s->day.sky == FG_SKY_CLOUD ? "under part cloud"
                                           : "worked in the shade",
              schedule);
}

static void fire(fg_node *n, const fg_scenario *s, bool brief) {
  if (brief)
    fg_bullet(n, "%s",
              burns_fuel(s) ? "Fire orders; spark arrester; let it cool before refuelling."
                            : "Fire orders; keep batteries and leads off dry brush.");
  else if (burns_fuel(s))
    fg_bullet(n, "Fire: look up the day's fire orders; in fire season engines may be banned. On "
                 "public land they need a working spark arrester (36 CFR 261.52). Bare ground, a "
                 "shovel and water at hand, no refuelling of a hot engine.");
  else
    fg_bullet(n, "Fire: look up the day's fire orders; in fire season power tools may be banned. "
                 "Bare ground, a shovel and water at hand.");
}

static void old_workings(fg_node *n, bool brief) {
  fg_bullet(n, brief ? "Old workings: stay out, and off their edges."
                     : "Old workings: stay out of shafts and tunnels and off their edges; bad air "
                       "and loose rock give no warning. Never undercut a bank you stand below.");
}

static void mercury(fg_node *n, bool brief) {
  fg_bullet(n, brief ? "Mercury in old tailings: do not heat or handle it."
                     : "Mercury: old placer ground and tailings may hold it. Never heat amalgam or "
                       "gold that looks white (vapour: 50 ug/m3 over the day, ceiling 100, NIOSH). "
                       "Keep what you find under water in a closed jar and hand it in.");
}

void fg_report_hazards(fg_node *parent, const fg_scenario *s, fg_unit_system units, bool brief) {
  const hazards h = find_hazards(s);
  fg_node *n = fg_group(parent, NULL, brief ? NULL : "Take care", FG_TEXT_ONLY);
  law(n, brief);
  silica(n, s, &h, units, brief);
  valley_fever(n, brief);
  noise(n, s, &h, brief);
  monoxide(n, s, brief);
  heat(n, s, &h, units, brief);
  fire(n, s, brief);
  old_workings(n, brief);
  mercury(n, brief);
  add_data(parent, s, &h);
}
