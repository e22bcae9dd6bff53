/* SPDX-License-Identifier: GPL-3.0-or-later */
/* GPX 1.1 (schema at topografix.com/GPX/1/1/gpx.xsd): elements of a waypoint in its order. */
#include <math.h>
#include <stdlib.h>

#include "core/text.h"
#include "study/streaks.h"

static const char namespace_uri[] = "urn:flourgold:readings";

/* Text for between tags; control characters have no place in XML 1.0. */
static void add_escaped(fg_text *out, const char *string) {
  for (const char *p = string; *p != '\0'; ++p) {
    const unsigned char c = (unsigned char)*p;
    if (c == '&')
      fg_text_add(out, "&amp;");
    else if (c == '<')
      fg_text_add(out, "&lt;");
    else if (c == '>')
      fg_text_add(out, "&gt;");
    else if (c == '"')
      fg_text_add(out, "&quot;");
    else
      fg_text_add_bytes(out, c < 0x20 || c == 0x7F ? " " : p, 1);
  }
}

static void begin_point(fg_text *out, double latitude, double longitude) {
  fg_text_printf(out, "  <wpt lat=\"%.7f\" lon=\"%.7f\">\n", latitude, longitude);
}

/* Name and comment of a place to keep off, of a ranked flag otherwise. */
static void add_title(fg_text *out, const fg_reading *r, const fg_flag *flag, const char *unit) {
  fg_text_add(out, "    <name>");
  if (flag->near_workings)
    fg_text_add(out, "KEEP OFF ");
  else
    fg_text_printf(out, "%zu ", flag->rank);
  add_escaped(out, r->name);
  fg_text_add(out, "</name>\n    <cmt>");
  if (!flag->near_workings)
    fg_text_printf(out, "rank %zu, ", flag->rank);
  fg_text_printf(out, "reading=%.10g%s</cmt>\n", r->value, unit);
}

static void add_description(fg_text *out, const fg_flag *flag, const char *unit) {
  char number[32];
  if (flag->near_workings) {
    fg_text_add(out, "    <desc>Old workings within 50 ft: keep off, do not dig here</desc>\n"
                     "    <sym>Danger Area</sym>\n    <type>keep off</type>\n");
    return;
  }
  fg_text_printf(out, "    <desc>black sand about %s%s",
                 fg_number_text(flag->there.estimate, 3, number, sizeof number), unit);
  fg_text_printf(out, " (deviation %s), chance of beating the cut %.0f %%</desc>\n",
                 fg_number_text(flag->there.sd, 3, number, sizeof number),
                 100.0 * flag->there.chance);
  fg_text_add(out, "    <sym>Flag</sym>\n    <type>flag</type>\n");
}

static void add_flag(fg_text *out, const fg_readings *readings, const fg_flag *flag) {
  const fg_reading *r = &readings->list[flag->reading];
  const char *unit = readings->percent ? " %" : "";
  const char *name = readings->percent ? "reading_percent" : "reading";
  begin_point(out, r->latitude_deg, r->longitude_deg);
  add_title(out, r, flag, unit);
  add_description(out, flag, unit);
  fg_text_printf(out, "    <extensions>\n      <fg:%s>%.10g</fg:%s>\n", name, r->value, name);
  if (!isnan(r->pan))
    fg_text_printf(out, "      <fg:pan>%.10g</fg:pan>\n", r->pan);
  if (!flag->near_workings)
    fg_text_printf(out, "      <fg:rank>%zu</fg:rank>\n", flag->rank);
  fg_text_printf(out,
                 "      <fg:estimate>%.10g</fg:estimate>\n      <fg:sd>%.10g</fg:sd>\n"
                 "      <fg:chance>%.6f</fg:chance>\n    </extensions>\n  </wpt>\n",
                 flag->there.estimate, flag->there.sd, flag->there.chance);
}

static void add_next(fg_text *out, const fg_next_place *next, size_t index) {
  char number[32];
  begin_point(out, next->latitude_deg, next->longitude_deg);
  fg_text_printf(out,
                 "    <name>next %c</name>\n    <desc>take a reading here: about %s</desc>\n"
                 "    <sym>Pin</sym>\n    <type>next</type>\n  </wpt>\n",
                 (char)('A' + (int)index),
                 fg_number_text(next->there.estimate, 3, number, sizeof number));
}

static void add_working(fg_text *out, const fg_working *w) {
  begin_point(out, w->latitude_deg, w->longitude_deg);
  fg_text_add(out, "    <name>");
  add_escaped(out, w->name);
  fg_text_add(out, "</name>\n    <desc>Old workings: do not enter</desc>\n"
                   "    <sym>Danger Area</sym>\n    <type>old workings</type>\n  </wpt>\n");
}

fg_status fg_gpx_make(const fg_readings *readings, const fg_streaks *streaks, char **bytes,
                      size_t *length) {
  if (!readings->placed)
    return FG_EDOMAIN;
  fg_text out = {0};
  fg_text_printf(&out,
                 "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"
                 "<gpx version=\"1.1\" creator=\"flourgold\" "
                 "xmlns=\"http://www.topografix.com/GPX/1/1\" xmlns:fg=\"%s\">\n",
                 namespace_uri);
  fg_text_add(&out, "  <metadata>\n    <desc>Flags ranked by black sand. Only a pan proves "
                    "gold.</desc>\n  </metadata>\n");
  for (size_t i = 0; i < streaks->flag_count; ++i)
    add_flag(&out, readings, &streaks->flags[i]);
  for (size_t i = 0; i < streaks->next_count; ++i)
    add_next(&out, &streaks->next[i], i);
  for (size_t i = 0; i < readings->working_count; ++i)
    add_working(&out, &readings->workings[i]);
  fg_text_add(&out, "</gpx>\n");
  *bytes = fg_text_take(&out, length);
  return *bytes ? FG_OK : FG_EMEMORY;
}
