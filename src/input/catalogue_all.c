/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Other blowers on the machine of a scenario: all of a catalogue, or one by its label. */
#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/complain.h"
#include "core/nearest.h"
#include "flourgold/catalogue.h"
#include "flourgold/quantity.h"
#include "input/reader.h"
#include "scenario/settings_table.h"

enum { BLOWERS_MAX = 200, LABEL_MAX = 160 };

/* What readings gave was worked out with the scenario's own blower: it must not be worked out
 * again with another, nor does what was seen of the running machine say anything then. */
static void keep_worked_out(fg_scenario *s) {
  static const fg_setting_row from_readings[] = {
      FG_SET_DECK_CLOTH_PERMEABILITY, FG_SET_SHAKER_UNBALANCE, FG_SET_SHAKER_RATED_SPEED};
  for (size_t i = 0; i < sizeof from_readings / sizeof from_readings[0]; ++i)
    if (s->origin[from_readings[i]] == FG_FROM_DERIVED)
      s->origin[from_readings[i]] = FG_FROM_FILE;
  for (int row = 0; row < FG_SETTINGS; ++row)
    if (fg_setting_same_group(row, FG_SET_OBSERVED_BOX_PRESSURE))
      *fg_setting_number(&fg_settings[row], s) = NAN;
}

/* One group of the catalogue into reader->scenario; false after a complaint. */
static bool read_entry(fg_reader *reader, const config_setting_t *entry, int number) {
  const fg_source source = {.flat = &reader->catalogue.flat, .origin = FG_FROM_CATALOGUE};
  const fg_place place = fg_source_place(&source, entry);
  const size_t before = reader->faults.count;
  if (config_setting_type(entry) != CONFIG_TYPE_GROUP) {
    fg_fault_add(&reader->faults, &place, "blowers", "each blower is a group: { name = ...; ... }");
    return false;
  }
  fg_reset_blower(reader);
  fg_read_group(reader, entry, "blower", &source);
  fg_scenario *s = reader->scenario;
  if (*s->blower.name == '\0')
    snprintf(s->blower.name, sizeof s->blower.name, "blower %d", number);
  if (reader->faults.count == before && !fg_setting_given(s, FG_SET_BLOWER_CURVE) &&
      !(fg_setting_given(s, FG_SET_BLOWER_FREE_VOLUME) &&
        fg_setting_given(s, FG_SET_BLOWER_NOZZLE_SPEED)))
    fg_fault_add(&reader->faults, &place, s->blower.name,
                 "give free_volume and nozzle_speed from the label, or a curve");
  if (reader->faults.count == before && fg_scenario_resolve(s) != FG_OK)
    fg_fault_add(&reader->faults, &place, s->blower.name,
                 "this blower does not go with the rest of the scenario");
  return reader->faults.count == before;
}

static fg_status read_list(fg_reader *reader, const fg_scenario *base, fg_scenario **each,
                           size_t *count) {
  const fg_place whole = {reader->path, 0, FG_ORDER_WHOLE_FILE};
  const config_setting_t *list = config_lookup(&reader->catalogue.config, "blowers");
  const int length =
      list && config_setting_type(list) == CONFIG_TYPE_LIST ? config_setting_length(list) : 0;
  if (length == 0 || length > BLOWERS_MAX) {
    fg_fault_add(&reader->faults, &whole, "blowers",
                 length == 0 ? "no blower is in this catalogue; it holds a list: blowers = ( { "
                               "name = \"...\"; free_volume = \"450 cfm\"; nozzle_speed = \"170 "
                               "mph\"; }, ... );"
                             : "a catalogue may hold 200 blowers; this one has more");
    return FG_ESCENARIO;
  }
  fg_scenario *all = calloc((size_t)length, sizeof *all);
  if (!all)
    return FG_EMEMORY;
  bool fine = true;
  for (int i = 0; i < length; ++i) {
    all[i] = *base;
    reader->scenario = &all[i];
    fine = read_entry(reader, config_setting_get_elem(list, (unsigned)i), i + 1) && fine;
  }
  if (!fine) {
    free(all);
    return FG_ESCENARIO;
  }
  *each = all;
  *count = (size_t)length;
  return FG_OK;
}

static fg_status read_catalogue(fg_reader *reader, const char *catalogue, const fg_scenario *base,
                                fg_scenario **each, size_t *count) {
  char path[PATH_MAX];
  if (!catalogue && !fg_catalogue_path(base->file, path)) {
    const fg_place whole = {base->file, 0, FG_ORDER_WHOLE_FILE};
    fg_fault_add(&reader->faults, &whole, "blower",
                 "no blower catalogue found; put a blowers.cfg beside the scenario, or name one "
                 "in FLOURGOLD_CATALOGUE");
    return FG_ESCENARIO;
  }
  reader->path = catalogue ? catalogue : path;
  fg_status status = fg_flat_read(reader->path, &reader->catalogue.flat, &reader->faults);
  if (status == FG_OK)
    status = fg_document_parse(&reader->catalogue, &reader->faults);
  return status == FG_OK ? read_list(reader, base, each, count) : status;
}

fg_status fg_catalogue_read(const char *catalogue, const fg_scenario *scenario, fg_scenario **each,
                            size_t *count, fg_complaints *complaints) {
  fg_reader *reader = calloc(1, sizeof *reader);
  fg_scenario *base = malloc(sizeof *base);
  fg_status status = FG_EMEMORY;
  if (reader && base) {
    *base = *scenario;
    keep_worked_out(base);
    fg_scenario_default(&reader->standard);
    status = read_catalogue(reader, catalogue, base, each, count);
    fg_faults_publish(&reader->faults, complaints);
    if (reader->faults.failed && status == FG_OK) {
      free(*each);
      status = FG_EMEMORY;
    }
    fg_faults_free(&reader->faults);
    fg_document_free(&reader->catalogue);
  }
  if (status == FG_EMEMORY)
    fg_complain(complaints, "the catalogue of blowers: memory ran out");
  free(base);
  free(reader);
  return status;
}

/* ---- a label ---- */

static int kind_of(const char *word) {
  const char *const *kinds = fg_settings[FG_SET_BLOWER_KIND].choices;
  for (int i = 0; kinds[i]; ++i)
    if (strcmp(kinds[i], word) == 0)
      return i;
  return -1;
}

/* Parts "a, b, c" in place, blanks trimmed; 0 when there are more than `most`. */
static size_t part(char *text, char *parts[], size_t most) {
  size_t count = 0;
  for (char *p = text; p; ++count) {
    if (count == most)
      return 0;
    char *comma = strchr(p, ',');
    if (comma)
      *comma = '\0';
    p += strspn(p, " \t");
    size_t length = strlen(p);
    while (length > 0 && strchr(" \t", p[length - 1]))
      p[--length] = '\0';
    parts[count] = p;
    p = comma ? comma + 1 : NULL;
  }
  return count;
}

static bool put_number(fg_scenario *s, fg_setting_row row, const char *text, char *message,
                       size_t size) {
  char why[FG_MESSAGE_MAX], low[48], high[48];
  double si;
  const fg_setting *setting = &fg_settings[row];
  if (fg_quantity_parse(text, setting->quantity, &si, NULL, why, sizeof why) != FG_OK) {
    snprintf(message, size, "%s", why);
    return false;
  }
  if (!(si >= setting->lowest && si <= setting->highest)) {
    snprintf(message, size, "%s is outside %s to %s", text,
             fg_quantity_text(setting->quantity, FG_UNITS_US, setting->lowest, low, sizeof low),
             fg_quantity_text(setting->quantity, FG_UNITS_US, setting->highest, high, sizeof high));
    return false;
  }
  return fg_scenario_set(s, row, si) == FG_OK;
}

fg_status fg_catalogue_label(const char *label, const fg_scenario *scenario, fg_scenario *out,
                             char *message, size_t size) {
  char text[LABEL_MAX], *parts[3];
  if (strlen(label) >= sizeof text) {
    snprintf(message, size, "the label is too long; write '450 cfm, 170 mph'");
    return FG_ESCENARIO;
  }
  memcpy(text, label, strlen(label) + 1);
  const size_t count = part(text, parts, 3);
  if (count < 2) {
    snprintf(message, size,
             "write volume and nozzle speed with a comma between, as '450 cfm, 170 "
             "mph', and the kind behind if it is no two-stroke");
    return FG_ESCENARIO;
  }
  fg_reader *reader = calloc(1, sizeof *reader);
  if (!reader)
    return FG_EMEMORY;
  fg_scenario found = *scenario;
  keep_worked_out(&found);
  fg_scenario_default(&reader->standard);
  reader->scenario = &found;
  fg_reset_blower(reader);
  free(reader);
  if (!put_number(&found, FG_SET_BLOWER_FREE_VOLUME, parts[0], message, size) ||
      !put_number(&found, FG_SET_BLOWER_NOZZLE_SPEED, parts[1], message, size))
    return FG_ESCENARIO;
  const int kind = count == 3 ? kind_of(parts[2]) : 0;
  if (kind < 0) {
    const char *near = fg_nearest(parts[2], fg_settings[FG_SET_BLOWER_KIND].choices);
    snprintf(message, size,
             "there is no kind of blower \"%.40s\"%s%s; there are two_stroke, "
             "four_stroke, battery and mains",
             parts[2], near ? ", did you mean " : "", near ? near : "");
    return FG_ESCENARIO;
  }
  if (count == 3) {
    found.blower.kind = kind;
    found.origin[FG_SET_BLOWER_KIND] = FG_FROM_SET;
  }
  snprintf(found.blower.name, sizeof found.blower.name, "%s", label);
  if (fg_scenario_resolve(&found) != FG_OK) {
    snprintf(message, size, "this blower does not go with the rest of the scenario");
    return FG_ESCENARIO;
  }
  *out = found;
  return FG_OK;
}
