/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "flourgold/grain.h"
#include "input/reader.h"
#include "physics/laws.h"
#include "scenario/settings_table.h"

#define BUCKET_VOLUME 0.01892705892 /* m3, 5 US gallons */
#define VOIDAGE_LOWEST 0.2
#define VOIDAGE_HIGHEST 0.7
#define PASSING_LOWEST 0.001 /* of the gravel through the screen */

/* ---- two ways to say the same ---- */

enum { SIDE_MAX = 6 };

typedef struct either_or {
  fg_setting_row first[SIDE_MAX], second[SIDE_MAX]; /* ended by FG_SET_NONE */
} either_or;

static const either_or exclusive[] = {
    {{FG_SET_GOLD_DENSITY, FG_SET_NONE}, {FG_SET_GOLD_FINENESS, FG_SET_NONE}},
    {{FG_SET_GOLD_CLASSES, FG_SET_NONE},
     {FG_SET_GOLD_MEDIAN_SIZE, FG_SET_GOLD_SIZE_SPREAD, FG_SET_NONE}},
    {{FG_SET_BLOWER_CURVE, FG_SET_NONE},
     {FG_SET_BLOWER_FREE_VOLUME, FG_SET_BLOWER_NOZZLE_SPEED, FG_SET_NONE}},
    {{FG_SET_DECK_EMPTY_BOX_PRESSURE, FG_SET_NONE},
     {FG_SET_DECK_CLOTH_PERMEABILITY, FG_SET_DECK_BOARD_OPEN_SHARE, FG_SET_NONE}},
    {{FG_SET_SHAKER_STROKE, FG_SET_NONE},
     {FG_SET_SHAKER_MASS, FG_SET_SHAKER_UNBALANCE, FG_SET_SHAKER_NATURAL_FREQUENCY,
      FG_SET_SHAKER_DAMPING, FG_SET_NONE}},
    {{FG_SET_SHAKER_SPEED, FG_SET_NONE},
     {FG_SET_SHAKER_RATED_SPEED, FG_SET_SHAKER_RATED_FLOW, FG_SET_NONE}},
    {{FG_SET_GROUND_SIEVES, FG_SET_NONE},
     {FG_SET_GROUND_MEDIAN_GRAIN, FG_SET_GROUND_GRAIN_SPREAD, FG_SET_NONE}},
    {{FG_SET_GROUND_BUCKET_WEIGHT, FG_SET_NONE}, {FG_SET_GROUND_BULK_DENSITY, FG_SET_NONE}},
    {{FG_SET_GROUND_CLAY, FG_SET_NONE},
     {FG_SET_GROUND_JAR_SAND, FG_SET_GROUND_JAR_SILT, FG_SET_GROUND_JAR_CLAY, FG_SET_NONE}},
    {{FG_SET_HOSE_KIND, FG_SET_NONE}, {FG_SET_HOSE_ROUGHNESS, FG_SET_NONE}},
};

/* The row of `rows` that was given last, or -1. */
static int given_row(const fg_reader *reader, const fg_setting_row rows[SIDE_MAX]) {
  int best = -1;
  for (int i = 0; i < SIDE_MAX && rows[i] != FG_SET_NONE; ++i) {
    const int row = rows[i];
    if (!fg_setting_given(reader->scenario, row))
      continue;
    if (best < 0 || reader->scenario->origin[row] > reader->scenario->origin[best])
      best = row;
  }
  return best;
}

static void reset_rows(fg_reader *reader, const fg_setting_row rows[SIDE_MAX]) {
  for (int i = 0; i < SIDE_MAX && rows[i] != FG_SET_NONE; ++i)
    fg_reset_row(reader, rows[i]);
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
      reset_rows(reader, pair->second);
    else if (from_a < from_b)
      reset_rows(reader, pair->first);
    else if (from_a != FG_FROM_CATALOGUE) /* there a curve may stand beside its label */
      complain_both(reader, a, b);
  }
}

/* ---- what is missing ---- */

static bool usable(const fg_reader *reader, fg_setting_row row) {
  return !reader->faulty[row] && fg_setting_given(reader->scenario, row);
}

static bool any_blower(const fg_reader *reader) {
  for (int row = 0; row < FG_SETTINGS; ++row)
    if (fg_setting_same_group(row, FG_SET_BLOWER_NAME) && fg_setting_given(reader->scenario, row))
      return true;
  return false;
}

static void check_blower(fg_reader *reader) {
  const fg_place whole = {reader->path, 0, FG_ORDER_WHOLE_FILE};
  if (reader->blower_faulty || reader->faulty[FG_SET_BLOWER_CURVE] ||
      reader->faulty[FG_SET_BLOWER_FREE_VOLUME] || reader->faulty[FG_SET_BLOWER_NOZZLE_SPEED])
    return;
  if (usable(reader, FG_SET_BLOWER_CURVE))
    return;
  const bool volume = usable(reader, FG_SET_BLOWER_FREE_VOLUME);
  const bool speed = usable(reader, FG_SET_BLOWER_NOZZLE_SPEED);
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
    if (!row->required || fg_setting_given(reader->scenario, (int)i))
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
static bool known(const fg_reader *reader, fg_setting_row row, double *value) {
  if (reader->faulty[row])
    return false;
  *value = fg_setting_value(&fg_settings[row], reader->scenario);
  return isfinite(*value);
}

/* The one of two settings that was given last: the complaint goes there. */
static fg_setting_row later(const fg_reader *reader, fg_setting_row a, fg_setting_row b) {
  return reader->place[a].order >= reader->place[b].order ? a : b;
}

static fg_place place_of(const fg_reader *reader, int row) {
  if (reader->place[row].file)
    return reader->place[row];
  return (fg_place){reader->path, 0, FG_ORDER_WHOLE_FILE};
}

static void too_large_beside(fg_reader *reader, fg_setting_row large, double value,
                             fg_setting_row other, double most) {
  char text[2][64];
  const int row = later(reader, large, other);
  const fg_place place = place_of(reader, row);
  fg_quantity_text(FG_Q_LENGTH, FG_UNITS_US, value, text[0], sizeof text[0]);
  fg_quantity_text(FG_Q_LENGTH, FG_UNITS_US, most, text[1], sizeof text[1]);
  fg_row_fault(reader, row, &place, "%s (%s) must be smaller than %s (%s)", fg_settings[large].key,
               text[0], fg_settings[other].key, text[1]);
}

static void check_walls(fg_reader *reader) {
  double riffle, side, opening;
  if (known(reader, FG_SET_DECK_RIFFLE_HEIGHT, &riffle) &&
      known(reader, FG_SET_DECK_SIDE_HEIGHT, &side) && riffle >= side)
    too_large_beside(reader, FG_SET_DECK_RIFFLE_HEIGHT, riffle, FG_SET_DECK_SIDE_HEIGHT, side);
  if (known(reader, FG_SET_SCREEN_OPENING, &opening) &&
      known(reader, FG_SET_DECK_SIDE_HEIGHT, &side) && opening > side)
    too_large_beside(reader, FG_SET_SCREEN_OPENING, opening, FG_SET_DECK_SIDE_HEIGHT, side);
}

static void check_pitch(fg_reader *reader) {
  double length, riffles, height;
  char text[2][64];
  if (!known(reader, FG_SET_DECK_LENGTH, &length) ||
      !known(reader, FG_SET_DECK_RIFFLES, &riffles) ||
      !known(reader, FG_SET_DECK_RIFFLE_HEIGHT, &height) || riffles < 1.0)
    return;
  const double pitch = length / riffles;
  if (pitch >= 2.0 * height)
    return;
  const int row = later(reader, FG_SET_DECK_RIFFLES, FG_SET_DECK_RIFFLE_HEIGHT);
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
  fg_setting_row weighed = FG_SET_GROUND_BULK_DENSITY;
  if (!known(reader, weighed, &bulk) || !known(reader, FG_SET_GROUND_MAGNETITE, &magnetite))
    return;
  if (known(reader, FG_SET_GROUND_BUCKET_WEIGHT, &bucket)) {
    weighed = FG_SET_GROUND_BUCKET_WEIGHT;
    bulk = bucket / BUCKET_VOLUME;
  }
  const double grains =
      1.0 / ((1.0 - magnetite) / FG_QUARTZ_KG_M3 + magnetite / FG_MAGNETITE_KG_M3);
  const double voidage = 1.0 - bulk / grains;
  if (voidage >= VOIDAGE_LOWEST && voidage <= VOIDAGE_HIGHEST)
    return;
  const int row = later(reader, weighed, FG_SET_GROUND_MAGNETITE);
  const fg_place place = place_of(reader, row);
  fg_quantity_text(FG_Q_DENSITY, FG_UNITS_US, grains * (1.0 - VOIDAGE_HIGHEST), text[0], 64);
  fg_quantity_text(FG_Q_DENSITY, FG_UNITS_US, grains * (1.0 - VOIDAGE_LOWEST), text[1], 64);
  fg_quantity_text(FG_Q_DENSITY, FG_UNITS_US, grains, text[2], 64);
  fg_row_fault(reader, row, &place,
               "%s leaves %.0f %% voids between grains of %s; gravel has 20 to 70 %%: a bulk "
               "density of %s to %s",
               fg_settings[weighed].key, 100.0 * voidage, text[2], text[0], text[1]);
}

/* Some of the gravel must pass the screen. */
static void check_screen(fg_reader *reader) {
  double opening, median, spread;
  char text[2][64];
  if (usable(reader, FG_SET_GROUND_SIEVES) || !known(reader, FG_SET_SCREEN_OPENING, &opening) ||
      !known(reader, FG_SET_GROUND_MEDIAN_GRAIN, &median) ||
      !known(reader, FG_SET_GROUND_GRAIN_SPREAD, &spread))
    return;
  const double passing = 0.5 * erfc(log(median / opening) / log(spread) / sqrt(2.0));
  if (passing >= PASSING_LOWEST)
    return;
  const int row = later(reader, FG_SET_SCREEN_OPENING, FG_SET_GROUND_MEDIAN_GRAIN);
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
  const fg_setting_row row = FG_SET_CLOSURE_DRAG_LAW;
  if (!known(reader, FG_SET_CLOSURE_DRAG_LAW, &law) ||
      fg_drag_laws[(int)law].least_sphericity < 1.0)
    return;
  const fg_place place = place_of(reader, row);
  fg_row_fault(reader, row, &place,
               "%s is a law for spheres: calc has it, the deck's flakes and grains need another, "
               "e.g. \"%s\"",
               fg_drag_law_names[(int)law], fg_drag_law_names[0]);
}

/* The two rates of the decide-as-you-go test go together. */
static void check_sample(fg_reader *reader) {
  static const fg_setting_row rates[2] = {FG_SET_SAMPLE_LEAVE_RATE, FG_SET_SAMPLE_STAY_RATE};
  double rate[2];
  const bool given[2] = {usable(reader, rates[0]), usable(reader, rates[1])};
  if (reader->faulty[rates[0]] || reader->faulty[rates[1]] || (!given[0] && !given[1]))
    return;
  const int row =
      given[0] && given[1] ? later(reader, rates[0], rates[1]) : rates[given[0] ? 0 : 1];
  const fg_place place = place_of(reader, row);
  if (!given[0] || !given[1])
    fg_row_fault(reader, row, &place, "%s is missing; give both rates or neither",
                 fg_settings[rates[given[0] ? 1 : 0]].key);
  else if (known(reader, rates[0], &rate[0]) && known(reader, rates[1], &rate[1]) &&
           rate[0] >= rate[1])
    fg_row_fault(reader, row, &place,
                 "leave_rate (%.4g) must be smaller than stay_rate (%.4g); are they swapped?",
                 rate[0], rate[1]);
}

/* One share of water, or depth of it, below another. */
static void check_below(fg_reader *reader, fg_setting_row lower, fg_setting_row upper) {
  double low, high;
  if (!known(reader, lower, &low) || !known(reader, upper, &high) || low < high)
    return;
  char text[2][64];
  const int row = later(reader, lower, upper);
  const fg_place place = place_of(reader, row);
  const fg_quantity quantity = fg_settings[row].quantity;
  fg_quantity_text(quantity, FG_UNITS_US, low, text[0], sizeof text[0]);
  fg_quantity_text(quantity, FG_UNITS_US, high, text[1], sizeof text[1]);
  fg_row_fault(reader, row, &place, "%s (%s) must be smaller than %s (%s)", fg_settings[lower].key,
               text[0], fg_settings[upper].key, text[1]);
}

static void check_soil(fg_reader *reader) {
  check_below(reader, FG_SET_SOIL_WILTING_POINT, FG_SET_SOIL_FIELD_CAPACITY);
  check_below(reader, FG_SET_SOIL_FIELD_CAPACITY, FG_SET_SOIL_SATURATION);
  check_below(reader, FG_SET_SOIL_WILTING_POINT, FG_SET_SOIL_SATURATION);
  check_below(reader, FG_SET_SOIL_REW, FG_SET_SOIL_TEW);
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
