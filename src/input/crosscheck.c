/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "flourgold/drag.h"
#include "input/reader.h"

#define QUARTZ_DENSITY 2650.0       /* kg/m3 */
#define MAGNETITE_DENSITY 5180.0    /* kg/m3 */
#define BUCKET_VOLUME 0.01892705892 /* m3, 5 US gallons */
#define VOIDAGE_LOWEST 0.2
#define VOIDAGE_HIGHEST 0.7
#define PASSING_LOWEST 0.001 /* of the gravel through the screen */

/* ---- two ways to say the same ---- */

enum { SIDE_MAX = 6 };

typedef struct either_or {
  const char *first[SIDE_MAX], *second[SIDE_MAX]; /* keys, NULL-terminated */
} either_or;

static const either_or exclusive[] = {
    {{"gold.density", NULL}, {"gold.fineness", NULL}},
    {{"gold.classes", NULL}, {"gold.median_size", "gold.size_spread", NULL}},
    {{"blower.curve", NULL}, {"blower.free_volume", "blower.nozzle_speed", NULL}},
    {{"deck.empty_box_pressure", NULL}, {"deck.cloth_permeability", "deck.board_open_share", NULL}},
    {{"shaker.stroke", NULL},
     {"shaker.mass", "shaker.unbalance", "shaker.natural_frequency", "shaker.damping", NULL}},
    {{"shaker.speed", NULL}, {"shaker.rated_speed", "shaker.rated_flow", NULL}},
    {{"ground.sieves", NULL}, {"ground.median_grain", "ground.grain_spread", NULL}},
    {{"ground.bucket_weight", NULL}, {"ground.bulk_density", NULL}},
    {{"ground.clay", NULL}, {"ground.jar_sand", "ground.jar_silt", "ground.jar_clay", NULL}},
    {{"hose.kind", NULL}, {"hose.roughness", NULL}},
};

/* The row of `keys` that was given last, or -1. */
static int given_row(const fg_reader *reader, const char *const keys[SIDE_MAX]) {
  int best = -1;
  for (int i = 0; i < SIDE_MAX && keys[i]; ++i) {
    const int row = fg_setting_find(keys[i]);
    if (row < 0 || reader->scenario->origin[row] < FG_FROM_CATALOGUE)
      continue;
    if (best < 0 || reader->scenario->origin[row] > reader->scenario->origin[best])
      best = row;
  }
  return best;
}

static void reset_keys(fg_reader *reader, const char *const keys[SIDE_MAX]) {
  for (int i = 0; i < SIDE_MAX && keys[i]; ++i) {
    const int row = fg_setting_find(keys[i]);
    if (row >= 0)
      fg_reset_row(reader, row);
  }
}

static void complain_both(fg_reader *reader, int a, int b) {
  const fg_place *first = &reader->place[a];
  char line[16] = "";
  if (first->line > 0)
    snprintf(line, sizeof line, ":%d", first->line);
  fg_row_fault(reader, b, &reader->place[b], "%s is given too (%s%s); give one of them",
               fg_settings[a].key, first->file, line);
}

/* Given side by side both are an error; what overrides an earlier layer (a group over the
 * catalogue, --set over the file) takes the place of the other. */
void fg_check_exclusive(fg_reader *reader) {
  for (size_t i = 0; i < sizeof exclusive / sizeof exclusive[0]; ++i) {
    const either_or *pair = &exclusive[i];
    const int a = given_row(reader, pair->first), b = given_row(reader, pair->second);
    if (a < 0 || b < 0)
      continue;
    const unsigned char from_a = reader->scenario->origin[a], from_b = reader->scenario->origin[b];
    if (from_a > from_b)
      reset_keys(reader, pair->second);
    else if (from_a < from_b)
      reset_keys(reader, pair->first);
    else if (from_a != FG_FROM_CATALOGUE) /* there a curve may stand beside its label */
      complain_both(reader, a, b);
  }
}

/* ---- what is missing ---- */

static bool usable(const fg_reader *reader, const char *key) {
  const int row = fg_setting_find(key);
  return row >= 0 && !reader->faulty[row] && reader->scenario->origin[row] >= FG_FROM_CATALOGUE;
}

static bool any_blower(const fg_reader *reader) {
  for (size_t i = 0; i < fg_settings_count; ++i)
    if (strncmp(fg_settings[i].key, "blower.", 7) == 0 &&
        reader->scenario->origin[i] >= FG_FROM_CATALOGUE)
      return true;
  return false;
}

static bool faulty(const fg_reader *reader, const char *key) {
  const int row = fg_setting_find(key);
  return row >= 0 && reader->faulty[row];
}

static void check_blower(fg_reader *reader) {
  const fg_place whole = {reader->path, 0, FG_ORDER_WHOLE_FILE};
  if (reader->blower_faulty || faulty(reader, "blower.curve") ||
      faulty(reader, "blower.free_volume") || faulty(reader, "blower.nozzle_speed"))
    return;
  if (usable(reader, "blower.curve"))
    return;
  const bool volume = usable(reader, "blower.free_volume");
  const bool speed = usable(reader, "blower.nozzle_speed");
  if (volume && speed)
    return;
  fg_fault_add(&reader->faults, &whole, "blower",
               "%s is missing; give free_volume and nozzle_speed "
               "from the label (the speed sets the pressure), or a curve",
               volume  ? "nozzle_speed"
               : speed ? "free_volume"
                       : "what it can do");
}

static void add_missing(fg_text *list, const char *key, const char *example) {
  fg_text_printf(list, "%s%s%s", list->length == 0 ? "" : ", ", key, example);
}

void fg_check_missing(fg_reader *reader) {
  const fg_place whole = {reader->path, 0, FG_ORDER_WHOLE_FILE};
  fg_text list = {0};
  for (size_t i = 0; i < fg_settings_count; ++i) {
    const fg_setting *row = &fg_settings[i];
    if (!row->required || reader->scenario->origin[i] >= FG_FROM_CATALOGUE)
      continue;
    char example[64];
    const char *text = fg_quantity_of(row->quantity)->example;
    snprintf(example, sizeof example, row->type == FG_T_INTEGER ? " (e.g. %s)" : " (e.g. \"%s\")",
             text);
    add_missing(&list, row->key, example);
  }
  if (any_blower(reader) || reader->blower_faulty)
    check_blower(reader);
  else
    add_missing(&list, "blower", " (a name from the catalogue, or a group)");
  if (list.length > 0)
    fg_fault_add(&reader->faults, &whole, NULL, "still needed: %s", list.bytes);
  if (list.failed)
    reader->faults.failed = true;
  fg_text_free(&list);
}

/* ---- what does not fit together ---- */

/* A value that can be compared: given well, or assumed. */
static bool known(const fg_reader *reader, const char *key, double *value) {
  const int row = fg_setting_find(key);
  if (row < 0 || reader->faulty[row])
    return false;
  *value = fg_setting_value(&fg_settings[row], reader->scenario);
  return isfinite(*value);
}

/* The one of two settings that was given last: the complaint goes there. */
static int later(const fg_reader *reader, const char *a, const char *b) {
  const int row_a = fg_setting_find(a), row_b = fg_setting_find(b);
  return reader->place[row_a].order >= reader->place[row_b].order ? row_a : row_b;
}

static fg_place place_of(const fg_reader *reader, int row) {
  if (reader->place[row].file)
    return reader->place[row];
  return (fg_place){reader->path, 0, FG_ORDER_WHOLE_FILE};
}

static void too_large_beside(fg_reader *reader, const char *key, double value, const char *other,
                             double most) {
  char text[2][64];
  const int row = later(reader, key, other);
  const fg_place place = place_of(reader, row);
  fg_quantity_text(FG_Q_LENGTH, FG_UNITS_US, value, text[0], sizeof text[0]);
  fg_quantity_text(FG_Q_LENGTH, FG_UNITS_US, most, text[1], sizeof text[1]);
  fg_row_fault(reader, row, &place, "%s (%s) must be smaller than %s (%s)", key, text[0], other,
               text[1]);
}

static void check_walls(fg_reader *reader) {
  double riffle, side, opening;
  if (known(reader, "deck.riffle_height", &riffle) && known(reader, "deck.side_height", &side) &&
      riffle >= side)
    too_large_beside(reader, "deck.riffle_height", riffle, "deck.side_height", side);
  if (known(reader, "screen.opening", &opening) && known(reader, "deck.side_height", &side) &&
      opening > side)
    too_large_beside(reader, "screen.opening", opening, "deck.side_height", side);
}

static void check_pitch(fg_reader *reader) {
  double length, riffles, height;
  char text[2][64];
  if (!known(reader, "deck.length", &length) || !known(reader, "deck.riffles", &riffles) ||
      !known(reader, "deck.riffle_height", &height) || riffles < 1.0)
    return;
  const double pitch = length / riffles;
  if (pitch >= 2.0 * height)
    return;
  const int row = later(reader, "deck.riffles", "deck.riffle_height");
  const fg_place place = place_of(reader, row);
  fg_quantity_text(FG_Q_LENGTH, FG_UNITS_US, pitch, text[0], sizeof text[0]);
  fg_quantity_text(FG_Q_LENGTH, FG_UNITS_US, height, text[1], sizeof text[1]);
  fg_row_fault(reader, row, &place,
               "%.0f riffles lie %s apart, less than twice their height (%s); at most %.0f riffles "
               "of that height fit",
               riffles, text[0], text[1], floor(length / (2.0 * height)));
}

/* Bulk density against the grains' own, which follows from the black sand in it. */
static void check_voidage(fg_reader *reader) {
  double bulk, magnetite, bucket;
  char text[3][64];
  const char *key = "ground.bulk_density";
  if (!known(reader, key, &bulk) || !known(reader, "ground.magnetite", &magnetite))
    return;
  if (known(reader, "ground.bucket_weight", &bucket)) {
    key = "ground.bucket_weight";
    bulk = bucket / BUCKET_VOLUME;
  }
  const double grains = 1.0 / ((1.0 - magnetite) / QUARTZ_DENSITY + magnetite / MAGNETITE_DENSITY);
  const double voidage = 1.0 - bulk / grains;
  if (voidage >= VOIDAGE_LOWEST && voidage <= VOIDAGE_HIGHEST)
    return;
  const int row = later(reader, key, "ground.magnetite");
  const fg_place place = place_of(reader, row);
  fg_quantity_text(FG_Q_DENSITY, FG_UNITS_US, grains * (1.0 - VOIDAGE_HIGHEST), text[0], 64);
  fg_quantity_text(FG_Q_DENSITY, FG_UNITS_US, grains * (1.0 - VOIDAGE_LOWEST), text[1], 64);
  fg_quantity_text(FG_Q_DENSITY, FG_UNITS_US, grains, text[2], 64);
  fg_row_fault(reader, row, &place,
               "%s leaves %.0f %% voids between grains of %s; gravel has 20 to 70 %%: a bulk "
               "density of %s to %s",
               key, 100.0 * voidage, text[2], text[0], text[1]);
}

/* Some of the gravel must pass the screen. */
static void check_screen(fg_reader *reader) {
  double opening, median, spread;
  char text[2][64];
  if (usable(reader, "ground.sieves") || !known(reader, "screen.opening", &opening) ||
      !known(reader, "ground.median_grain", &median) ||
      !known(reader, "ground.grain_spread", &spread))
    return;
  const double passing = 0.5 * erfc(log(median / opening) / log(spread) / sqrt(2.0));
  if (passing >= PASSING_LOWEST)
    return;
  const int row = later(reader, "screen.opening", "ground.median_grain");
  const fg_place place = place_of(reader, row);
  fg_quantity_text(FG_Q_GRAIN_SIZE, FG_UNITS_US, median, text[0], sizeof text[0]);
  fg_quantity_text(FG_Q_GRAIN_SIZE, FG_UNITS_US, opening, text[1], sizeof text[1]);
  fg_row_fault(reader, row, &place,
               "gravel of a median of %s (ground.median_grain) and a spread of %.3g hardly passes "
               "a screen.opening of %s; at least %.1f %% must",
               text[0], spread, text[1], 100.0 * PASSING_LOWEST);
}

/* No grain on the deck is a sphere. */
static void check_drag_law(fg_reader *reader) {
  double law;
  const int row = fg_setting_find("closure.drag_law");
  if (!known(reader, "closure.drag_law", &law) || fg_drag_laws[(int)law].least_sphericity < 1.0)
    return;
  const fg_place place = place_of(reader, row);
  fg_row_fault(reader, row, &place,
               "%s is a law for spheres: calc has it, the deck's flakes and grains need another, "
               "e.g. \"%s\"",
               fg_drag_law_names[(int)law], fg_drag_law_names[0]);
}

/* The two rates of the decide-as-you-go test go together. */
static void check_sample(fg_reader *reader) {
  static const char *const keys[2] = {"sample.leave_rate", "sample.stay_rate"};
  double rate[2];
  const bool given[2] = {usable(reader, keys[0]), usable(reader, keys[1])};
  if (faulty(reader, keys[0]) || faulty(reader, keys[1]) || (!given[0] && !given[1]))
    return;
  const int row = given[0] && given[1] ? later(reader, keys[0], keys[1])
                                       : fg_setting_find(keys[given[0] ? 0 : 1]);
  const fg_place place = place_of(reader, row);
  if (!given[0] || !given[1])
    fg_row_fault(reader, row, &place, "%s is missing; give both rates or neither",
                 keys[given[0] ? 1 : 0]);
  else if (known(reader, keys[0], &rate[0]) && known(reader, keys[1], &rate[1]) &&
           rate[0] >= rate[1])
    fg_row_fault(reader, row, &place,
                 "leave_rate (%.4g) must be smaller than stay_rate (%.4g); are they swapped?",
                 rate[0], rate[1]);
}

/* One share of water, or depth of it, below another. */
static void check_below(fg_reader *reader, const char *lower, const char *upper) {
  double low, high;
  if (!known(reader, lower, &low) || !known(reader, upper, &high) || low < high)
    return;
  char text[2][64];
  const int row = later(reader, lower, upper);
  const fg_place place = place_of(reader, row);
  const fg_quantity quantity = fg_settings[row].quantity;
  fg_quantity_text(quantity, FG_UNITS_US, low, text[0], sizeof text[0]);
  fg_quantity_text(quantity, FG_UNITS_US, high, text[1], sizeof text[1]);
  fg_row_fault(reader, row, &place, "%s (%s) must be smaller than %s (%s)", lower, text[0], upper,
               text[1]);
}

static void check_soil(fg_reader *reader) {
  check_below(reader, "soil.wilting_point", "soil.field_capacity");
  check_below(reader, "soil.field_capacity", "soil.saturation");
  check_below(reader, "soil.wilting_point", "soil.saturation");
  check_below(reader, "soil.rew", "soil.tew");
}

void fg_check_together(fg_reader *reader) {
  check_walls(reader);
  check_pitch(reader);
  check_voidage(reader);
  check_screen(reader);
  check_drag_law(reader);
  check_sample(reader);
  check_soil(reader);
}
