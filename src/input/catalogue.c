/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "core/nearest.h"
#include "input/datadir.h"
#include "input/reader.h"

enum { NAMES_SHOWN = 40 };

bool fg_catalogue_path(const char *scenario_path, char *path) {
  const char *named = getenv("FLOURGOLD_CATALOGUE");
  if (named && *named != '\0')
    return snprintf(path, PATH_MAX, "%s", named) < PATH_MAX;
  const char *slash = strrchr(scenario_path, '/');
  const int folder = !slash ? 0 : (int)(slash - scenario_path) + 1;
  const int length = snprintf(path, PATH_MAX, "%.*sblowers.cfg", folder, scenario_path);
  if (length > 0 && length < PATH_MAX && access(path, F_OK) == 0)
    return true;
  return fg_data_file("configs/blowers.cfg", path, PATH_MAX) == FG_OK;
}

/* Reads the catalogue.  Its faults are sorted to `place`, where the blower is named. */
static bool load_catalogue(fg_reader *reader, const fg_place *place) {
  char path[PATH_MAX];
  fg_document *catalogue = &reader->catalogue;
  if (!fg_catalogue_path(reader->path, path)) {
    fg_fault_add(&reader->faults, place, "blower",
                 "no blower catalogue found; put a blowers.cfg beside the scenario, name one in "
                 "FLOURGOLD_CATALOGUE, or describe the blower in a group");
    return false;
  }
  const size_t before = reader->faults.count;
  const bool fine = fg_flat_read(path, &catalogue->flat, &reader->faults) == FG_OK &&
                    fg_document_parse(catalogue, &reader->faults) == FG_OK;
  for (size_t i = before; i < reader->faults.count; ++i)
    reader->faults.items[i].order = place->order;
  if (!fine)
    fg_document_free(catalogue);
  return fine;
}

/* The list `blowers` of the catalogue, read at the first call; NULL after a complaint. */
static const config_setting_t *catalogue_list(fg_reader *reader, const fg_place *place) {
  const fg_document *catalogue = &reader->catalogue;
  if (!reader->catalogue_tried) {
    reader->catalogue_tried = true;
    if (!load_catalogue(reader, place))
      return NULL;
  }
  if (!catalogue->parsed)
    return NULL;
  const config_setting_t *list = config_lookup(&catalogue->config, "blowers");
  if (!list || config_setting_type(list) != CONFIG_TYPE_LIST)
    fg_fault_add(&reader->faults, place, "blower",
                 "the catalogue %s holds no list: blowers = ( { name = \"...\"; ... }, ... );",
                 catalogue->flat.files[0]);
  else
    return list;
  return NULL;
}

static const char *entry_name(const config_setting_t *list, int i) {
  const config_setting_t *entry = config_setting_get_elem(list, (unsigned)i);
  const config_setting_t *name = config_setting_type(entry) == CONFIG_TYPE_GROUP
                                     ? config_setting_get_member(entry, "name")
                                     : NULL;
  const char *text = name ? config_setting_get_string(name) : NULL;
  return text ? text : "";
}

static void unknown_name(fg_reader *reader, const config_setting_t *list, const char *name,
                         const fg_place *place) {
  char q[FG_QUOTED_MAX];
  const char *names[NAMES_SHOWN + 1] = {NULL};
  fg_text all = {0};
  const int length = config_setting_length(list);
  int shown = 0;
  for (int i = 0; i < length && shown < NAMES_SHOWN; ++i) {
    if (*entry_name(list, i) == '\0')
      continue;
    names[shown] = entry_name(list, i);
    fg_text_printf(&all, "%s%s", shown == 0 ? "" : ", ", fg_quoted(names[shown], q));
    ++shown;
  }
  const char *near = fg_nearest(name, names);
  fg_fault_add(&reader->faults, place, "blower", "%s is not in the catalogue %s%s%s; it has %s",
               fg_quoted(name, q), reader->catalogue.flat.files[0], near ? "; perhaps " : "",
               near ? near : "", all.bytes ? all.bytes : "no names");
  if (all.failed)
    reader->faults.failed = true;
  fg_text_free(&all);
}

const config_setting_t *fg_catalogue_entry(fg_reader *reader, const char *name,
                                           const fg_place *place) {
  const config_setting_t *list = catalogue_list(reader, place);
  const int length = list && *name != '\0' ? config_setting_length(list) : 0;
  for (int i = 0; i < length; ++i)
    if (strcmp(entry_name(list, i), name) == 0)
      return config_setting_get_elem(list, (unsigned)i);
  if (list)
    unknown_name(reader, list, name, place);
  return NULL;
}
