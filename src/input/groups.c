/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <stdio.h>
#include <string.h>

#include "core/nearest.h"
#include "input/reader.h"
#include "scenario/settings_table.h"

static size_t group_length(const char *key) { return strcspn(key, "."); }

bool fg_group_known(const char *name) {
  const size_t length = strlen(name);
  for (size_t i = 0; i < fg_settings_count; ++i)
    if (group_length(fg_settings[i].key) == length &&
        strncmp(fg_settings[i].key, name, length) == 0)
      return true;
  return false;
}

/* A key of another group with the same last name, or NULL. */
static const char *same_leaf(const char *leaf) {
  for (size_t i = 0; i < fg_settings_count; ++i) {
    const char *key = fg_settings[i].key;
    if (strcmp(key + group_length(key) + 1, leaf) == 0)
      return key;
  }
  return NULL;
}

/* Settings of older files, and what took their place. */
static const char *const replaced[][2] = {
    {"deck.fill_angle", "the sand behind a riffle now stands as deck.slope, the air and "
                        "closure.friction_static let it; leave this setting out"},
};

static const char *replacement(const char *key) {
  for (size_t i = 0; i < sizeof replaced / sizeof replaced[0]; ++i)
    if (strcmp(replaced[i][0], key) == 0)
      return replaced[i][1];
  return NULL;
}

int fg_find_row(fg_reader *reader, const char *key, const fg_place *place) {
  const int row = fg_setting_find(key);
  if (row >= 0)
    return row;
  if (replacement(key)) {
    fg_fault_add(&reader->faults, place, key, "%s", replacement(key));
    return -1;
  }
  const char *dot = strchr(key, '.');
  const char *near = dot ? same_leaf(dot + 1) : same_leaf(key);
  if (!near)
    near = fg_setting_nearest(key);
  if (near)
    fg_fault_add(&reader->faults, place, key, "there is no such setting; perhaps %s", near);
  else
    fg_fault_add(&reader->faults, place, key,
                 "there is no such setting; \"flourgold keys\" lists them all");
  return -1;
}

static void unknown_group(fg_reader *reader, const char *name, const fg_place *place) {
  char names[16][24];
  const char *list[17] = {NULL};
  size_t count = 0;
  fg_text all = {0};
  for (size_t i = 0; i < fg_settings_count; ++i) {
    const char *key = fg_settings[i].key;
    const size_t length = group_length(key);
    if (count > 0 && strlen(names[count - 1]) == length &&
        strncmp(names[count - 1], key, length) == 0)
      continue;
    if (count == 16 || length >= sizeof names[0])
      break;
    snprintf(names[count], sizeof names[0], "%.*s", (int)length, key);
    fg_text_printf(&all, "%s%s", count == 0 ? "" : ", ", names[count]);
    list[count] = names[count];
    ++count;
  }
  const char *near = fg_nearest(name, list);
  if (near)
    fg_fault_add(&reader->faults, place, name, "there is no such group; perhaps %s", near);
  else
    fg_fault_add(&reader->faults, place, name, "there is no such group; there are %s",
                 all.bytes ? all.bytes : "");
  if (all.failed)
    reader->faults.failed = true;
  fg_text_free(&all);
}

/* A setting that stands outside any group. */
static void loose_setting(fg_reader *reader, const char *name, const fg_place *place) {
  const char *key = same_leaf(name);
  if (!key) {
    unknown_group(reader, name, place);
    return;
  }
  fg_fault_add(&reader->faults, place, name, "belongs in a group: %.*s = { %s = ...; };",
               (int)group_length(key), key, name);
}

static void read_member(fg_reader *reader, const config_setting_t *member, const char *group,
                        const fg_source *source) {
  char key[FG_KEY_MAX];
  const char *name = config_setting_name(member);
  const fg_value value = fg_value_of(member, source);
  const int length = snprintf(key, sizeof key, "%s.%s", group, name ? name : "");
  if (length < 0 || (size_t)length >= sizeof key) {
    fg_fault_add(&reader->faults, &value.place, group, "the name of a setting is too long");
    return;
  }
  /* Remarks are welcome in a catalogue. */
  if (source->origin == FG_FROM_CATALOGUE && name &&
      (strcmp(name, "note") == 0 || strcmp(name, "source") == 0))
    return;
  const int row = fg_find_row(reader, key, &value.place);
  if (row >= 0)
    fg_store(reader, row, &value);
}

void fg_read_group(fg_reader *reader, const config_setting_t *group, const char *name,
                   const fg_source *source) {
  const int length = config_setting_length(group);
  for (int i = 0; i < length; ++i)
    read_member(reader, config_setting_get_elem(group, (unsigned)i), name, source);
}

void fg_reset_blower(fg_reader *reader) {
  for (size_t i = 0; i < fg_settings_count; ++i)
    if (fg_setting_same_group((int)i, FG_SET_BLOWER_NAME))
      fg_reset_row(reader, (int)i);
}

/* The name itself was given by the user, not by the catalogue. */
static void store_name(fg_reader *reader, const char *name, const fg_place *place,
                       fg_origin origin) {
  const fg_source source = {.fixed = *place, .origin = origin};
  const fg_value value = {.kind = FG_V_TEXT, .text = name, .place = *place, .source = &source};
  fg_store(reader, FG_SET_BLOWER_NAME, &value);
}

void fg_catalogue_blower(fg_reader *reader, const char *name, const fg_place *place,
                         fg_origin origin) {
  fg_reset_blower(reader);
  const config_setting_t *entry = fg_catalogue_entry(reader, name, place);
  reader->blower_faulty = !entry;
  if (!entry)
    return;
  const fg_source source = {.flat = &reader->catalogue.flat,
                            .fixed = {.order = place->order},
                            .origin = FG_FROM_CATALOGUE};
  fg_read_group(reader, entry, "blower", &source);
  store_name(reader, name, place, origin);
}

/* blower = "name" or { ... }; a catalogue name inside comes first, whatever its place. */
static void read_blower(fg_reader *reader, const fg_value *value) {
  if (value->kind == FG_V_TEXT) {
    fg_catalogue_blower(reader, value->text, &value->place, value->source->origin);
    return;
  }
  const char *name = NULL;
  config_setting_t *member = config_setting_get_member(value->tree, "name");
  if (member && (name = config_setting_get_string(member)) != NULL && *name != '\0') {
    const fg_place place = fg_source_place(value->source, member);
    fg_catalogue_blower(reader, name, &place, value->source->origin);
  } else if (value->source->origin == FG_FROM_SET) {
    fg_reset_blower(reader); /* a whole new one, not a change to the file's */
  }
  fg_read_group(reader, value->tree, "blower", value->source);
}

void fg_read_whole_group(fg_reader *reader, const char *name, const fg_value *value) {
  const bool blower = strcmp(name, "blower") == 0;
  const bool group =
      value->kind == FG_V_TREE && config_setting_type(value->tree) == CONFIG_TYPE_GROUP;
  if (blower && (group || value->kind == FG_V_TEXT))
    read_blower(reader, value);
  else if (group)
    fg_read_group(reader, value->tree, name, value->source);
  else
    fg_fault_add(&reader->faults, &value->place, name, "is a group: write %s = { ... };", name);
}

void fg_read_root(fg_reader *reader, const config_setting_t *root, const fg_source *source) {
  const int length = config_setting_length(root);
  for (int i = 0; i < length; ++i) {
    const config_setting_t *member = config_setting_get_elem(root, (unsigned)i);
    const fg_value value = fg_value_of(member, source);
    const char *name = config_setting_name(member);
    if (!name)
      continue;
    if (fg_group_known(name))
      fg_read_whole_group(reader, name, &value);
    else if (value.kind == FG_V_TREE && config_setting_type(member) == CONFIG_TYPE_GROUP)
      unknown_group(reader, name, &value.place);
    else
      loose_setting(reader, name, &value.place);
  }
}
