/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "input/reader.h"
#include "scenario/settings_table.h"

/* The list under a value, or NULL after a complaint. */
static const config_setting_t *list_of(fg_reader *reader, int row, const fg_value *value,
                                       size_t most, const char *form) {
  const config_setting_t *tree = value->kind == FG_V_TREE ? value->tree : NULL;
  if (!tree || config_setting_type(tree) == CONFIG_TYPE_GROUP) {
    fg_row_fault(reader, row, &value->place, "a list is needed: %s", form);
    return NULL;
  }
  const int length = config_setting_length(tree);
  if (length <= 0 || (size_t)length > most) {
    fg_row_fault(reader, row, &value->place, "%d entries; 1 to %zu are possible", length, most);
    return NULL;
  }
  return tree;
}

static bool is_sequence(const config_setting_t *setting) {
  const int type = config_setting_type(setting);
  return type == CONFIG_TYPE_LIST || type == CONFIG_TYPE_ARRAY;
}

static const char class_form[] =
    "( (\"60 mesh\", \"40 mesh\", 0.25), ... ): lower sieve, upper sieve, share of the gold";

/* The three parts of a class, from ( , , ) or { lower; upper; share }. */
static bool class_parts(const config_setting_t *entry, const config_setting_t *parts[3]) {
  static const char *const names[] = {"lower", "upper", "share"};
  if (config_setting_length(entry) != 3)
    return false;
  const bool group = config_setting_type(entry) == CONFIG_TYPE_GROUP;
  if (!group && !is_sequence(entry))
    return false;
  for (unsigned i = 0; i < 3; ++i) {
    parts[i] =
        group ? config_setting_get_member(entry, names[i]) : config_setting_get_elem(entry, i);
    if (!parts[i])
      return false;
  }
  return true;
}

static bool read_class(fg_reader *reader, int row, const config_setting_t *entry,
                       const fg_place *place, fg_size_class *class) {
  const config_setting_t *parts[3];
  char message[FG_MESSAGE_MAX];
  double a, b, share;
  if (!class_parts(entry, parts)) {
    fg_row_fault(reader, row, place, "each class is written %s", class_form);
    return false;
  }
  if (!fg_element_quantity(parts[0], FG_Q_GRAIN_SIZE, &a, message, sizeof message) ||
      !fg_element_quantity(parts[1], FG_Q_GRAIN_SIZE, &b, message, sizeof message) ||
      !fg_element_quantity(parts[2], FG_Q_SHARE, &share, message, sizeof message)) {
    fg_row_fault(reader, row, place, "%s", message);
    return false;
  }
  *class = (fg_size_class){fmin(a, b), fmax(a, b), share};
  if (class->lower_m == class->upper_m)
    fg_row_fault(reader, row, place, "both sieves of the class have the same opening, %.4g mm",
                 a * 1e3);
  else if (class->lower_m < fg_settings[row].lowest || class->upper_m > fg_settings[row].highest)
    fg_row_fault(reader, row, place,
                 "sieves go from %.4g mm to %.4g mm; for what fell through the last one give a "
                 "lower end, such as \"20 um\"",
                 fg_settings[row].lowest * 1e3, fg_settings[row].highest * 1e3);
  else if (share < 0.0)
    fg_row_fault(reader, row, place, "a share cannot be negative");
  else
    return true;
  return false;
}

static int coarse_first(const void *left, const void *right) {
  const fg_size_class *a = left, *b = right;
  if (a->upper_m != b->upper_m)
    return a->upper_m > b->upper_m ? -1 : 1;
  return a->lower_m > b->lower_m ? -1 : a->lower_m < b->lower_m;
}

static bool check_overlap(fg_reader *reader, int row, const fg_place *place,
                          const fg_size_class *classes, size_t count) {
  for (size_t i = 1; i < count; ++i) {
    if (classes[i].upper_m <= classes[i - 1].lower_m * (1.0 + 1e-9))
      continue;
    fg_row_fault(reader, row, place,
                 "the classes %.4g-%.4g mm and %.4g-%.4g mm overlap; each grain belongs to one",
                 classes[i].lower_m * 1e3, classes[i].upper_m * 1e3, classes[i - 1].lower_m * 1e3,
                 classes[i - 1].upper_m * 1e3);
    return false;
  }
  return true;
}

/* Shares must add to 1 or to 100, within 1 %; then they are made to add to 1 exactly. */
static bool normalise(fg_reader *reader, int row, const fg_place *place, fg_size_class *classes,
                      size_t count) {
  double sum = 0.0;
  for (size_t i = 0; i < count; ++i)
    sum += classes[i].share;
  if (!(fabs(sum - 1.0) <= 0.01 + 1e-9 || fabs(sum - 100.0) <= 1.0 + 1e-9)) {
    fg_row_fault(reader, row, place, "the shares add to %.6g; they must add to 1 (or 100 %%)", sum);
    return false;
  }
  for (size_t i = 0; i < count; ++i)
    classes[i].share /= sum;
  return true;
}

void fg_store_classes(fg_reader *reader, int row, const fg_value *value) {
  const config_setting_t *list = list_of(reader, row, value, FG_GOLD_CLASSES_MAX, class_form);
  if (!list)
    return;
  fg_size_class classes[FG_GOLD_CLASSES_MAX];
  const size_t count = (size_t)config_setting_length(list);
  bool fine = true;
  for (size_t i = 0; i < count; ++i) {
    const config_setting_t *entry = config_setting_get_elem(list, (unsigned)i);
    const fg_place place = fg_source_place(value->source, entry);
    fine = read_class(reader, row, entry, &place, &classes[i]) && fine;
  }
  if (!fine)
    return;
  qsort(classes, count, sizeof classes[0], coarse_first);
  if (!check_overlap(reader, row, &value->place, classes, count) ||
      !normalise(reader, row, &value->place, classes, count))
    return;
  memcpy(reader->scenario->gold.classes, classes, count * sizeof classes[0]);
  reader->scenario->gold.class_count = count;
}

static const char curve_form[] =
    "( (\"0 cfm\", \"8 inH2O\"), (\"300 cfm\", \"3 inH2O\") ): volume, total pressure";

static bool read_point(fg_reader *reader, int row, const config_setting_t *entry,
                       const fg_place *place, fg_curve_point *point) {
  char message[FG_MESSAGE_MAX];
  if (!is_sequence(entry) || config_setting_length(entry) != 2) {
    fg_row_fault(reader, row, place, "each point is a pair: %s", curve_form);
    return false;
  }
  if (!fg_element_quantity(config_setting_get_elem(entry, 0), FG_Q_VOLUME_RATE, &point->volume_m3_s,
                           message, sizeof message) ||
      !fg_element_quantity(config_setting_get_elem(entry, 1), FG_Q_PRESSURE, &point->pressure_pa,
                           message, sizeof message)) {
    fg_row_fault(reader, row, place, "%s", message);
    return false;
  }
  if (point->volume_m3_s >= 0.0 && point->pressure_pa >= 0.0 && point->volume_m3_s <= 100.0 &&
      point->pressure_pa <= fg_settings[row].highest)
    return true;
  fg_row_fault(reader, row, place,
               "volume and pressure go from 0 to 100 m3/s and %.6g Pa; this point lies outside",
               fg_settings[row].highest);
  return false;
}

/* Volume must rise and pressure fall from point `i - 1` to point `i`. */
static bool check_fall(fg_reader *reader, int row, const fg_place *place,
                       const fg_curve_point *points, size_t i) {
  if (points[i].volume_m3_s <= points[i - 1].volume_m3_s) {
    fg_row_fault(reader, row, place,
                 "the volume of point %zu does not rise above the one before it; order the points "
                 "by volume",
                 i + 1);
    return false;
  }
  if (points[i].pressure_pa < points[i - 1].pressure_pa)
    return true;
  fg_row_fault(reader, row, place,
               "the pressure of point %zu does not fall below the one before it; leave out the "
               "rising part of the curve",
               i + 1);
  return false;
}

void fg_store_curve(fg_reader *reader, int row, const fg_value *value) {
  const config_setting_t *list = list_of(reader, row, value, FG_CURVE_MAX, curve_form);
  if (!list)
    return;
  fg_curve_point points[FG_CURVE_MAX];
  const size_t count = (size_t)config_setting_length(list);
  bool fine = count >= 2;
  if (!fine)
    fg_row_fault(reader, row, &value->place, "at least two points: %s", curve_form);
  for (size_t i = 0; i < count; ++i) {
    const config_setting_t *entry = config_setting_get_elem(list, (unsigned)i);
    const fg_place place = fg_source_place(value->source, entry);
    fine = read_point(reader, row, entry, &place, &points[i]) && fine;
    if (fine && i > 0)
      fine = check_fall(reader, row, &place, points, i);
  }
  if (!fine)
    return;
  memcpy(reader->scenario->blower.curve, points, count * sizeof points[0]);
  reader->scenario->blower.curve_count = count;
}
