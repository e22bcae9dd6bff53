/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every kind of value is read with: its place, its element of libconfig, a fault of its row.
 */
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>

#include "flourgold/quantity.h"
#include "input/quantity_read.h"
#include "input/reader.h"
#include "scenario/settings_table.h"

fg_place fg_source_place(const fg_source *source, const config_setting_t *setting) {
  if (!source->flat || !setting)
    return source->fixed;
  fg_place place = fg_flat_place(source->flat, (int)config_setting_source_line(setting));
  if (source->fixed.order != 0)
    place.order = source->fixed.order;
  return place;
}

fg_value fg_value_of(const config_setting_t *setting, const fg_source *source) {
  fg_value value = {.kind = FG_V_TREE, .tree = setting, .source = source};
  value.place = fg_source_place(source, setting);
  switch (config_setting_type(setting)) {
  case CONFIG_TYPE_INT:
    value.kind = FG_V_NUMBER;
    value.number = config_setting_get_int(setting);
    value.whole = true;
    break;
  case CONFIG_TYPE_INT64:
    value.kind = FG_V_NUMBER;
    value.number = (double)config_setting_get_int64(setting);
    value.whole = true;
    break;
  case CONFIG_TYPE_FLOAT:
    value.kind = FG_V_NUMBER;
    value.number = config_setting_get_float(setting);
    break;
  case CONFIG_TYPE_STRING:
    value.kind = FG_V_TEXT;
    value.text = config_setting_get_string(setting);
    break;
  case CONFIG_TYPE_BOOL:
    value.kind = FG_V_TRUTH;
    value.truth = config_setting_get_bool(setting) != CONFIG_FALSE;
    break;
  default:
    break;
  }
  return value;
}

void fg_row_fault(fg_reader *reader, int row, const fg_place *place, const char *format, ...) {
  char *what = NULL;
  va_list arguments;
  va_start(arguments, format);
  const int length = vasprintf(&what, format, arguments);
  va_end(arguments);
  reader->faulty[row] = true;
  if (length < 0) {
    reader->faults.failed = true;
    return;
  }
  fg_fault_add(&reader->faults, place, fg_settings[row].key, "%s", what);
  free(what);
}

bool fg_element_quantity(const config_setting_t *setting, fg_quantity quantity, double *si,
                         char *message, size_t size) {
  const fg_source nowhere = {.flat = NULL};
  const fg_value value = fg_value_of(setting, &nowhere);
  if (value.kind == FG_V_TEXT)
    return fg_quantity_parse(value.text, quantity, si, NULL, message, size) == FG_OK;
  if (value.kind == FG_V_NUMBER)
    return fg_plain_quantity(value.number, quantity, si, NULL, message, size) == FG_OK;
  snprintf(message, size, "%s is needed, e.g. \"%s\"", fg_quantity_of(quantity)->name,
           fg_quantity_of(quantity)->example);
  return false;
}
