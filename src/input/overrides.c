/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <ctype.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "flourgold/settings.h"
#include "input/reader.h"

/* One --set on its way. */
typedef struct override {
  char *key;   /* trimmed */
  char *value; /* trimmed, without double quotes around it */
  fg_source source;
} override;

static char *trimmed(char *text) {
  while (isspace((unsigned char)*text))
    ++text;
  size_t length = strlen(text);
  while (length > 0 && isspace((unsigned char)text[length - 1]))
    text[--length] = '\0';
  return text;
}

static char *unquoted(char *text) {
  const size_t length = strlen(text);
  if (length < 2 || text[0] != '"' || text[length - 1] != '"')
    return text;
  text[length - 1] = '\0';
  return text + 1;
}

static void apply(fg_reader *reader, const char *key, const fg_value *value) {
  if (fg_setting_find(key) == FG_SET_BLOWER_NAME && value->kind == FG_V_TEXT &&
      *value->text != '\0') {
    fg_catalogue_blower(reader, value->text, &value->place, FG_FROM_SET);
    return;
  }
  if (fg_group_known(key)) {
    fg_read_whole_group(reader, key, value);
    return;
  }
  const int row = fg_find_row(reader, key, &value->place);
  if (row >= 0)
    fg_store(reader, row, value);
}

/* A list or group goes through libconfig like the text of a file. */
static void apply_tree(fg_reader *reader, const override *o) {
  fg_document document = {.parsed = false};
  fg_text text = {0};
  char name[FG_KEY_MAX + 16];
  const size_t before = reader->faults.count;
  snprintf(name, sizeof name, "--set: %.*s", FG_KEY_MAX, o->key);
  fg_text_printf(&text, "value = %s", o->value);
  if (text.failed) {
    reader->faults.failed = true;
  } else if (fg_flat_text(name, text.bytes, &document.flat, &reader->faults) == FG_OK &&
             fg_document_parse(&document, &reader->faults) == FG_OK) {
    const config_setting_t *setting = config_lookup(&document.config, "value");
    const fg_value value = fg_value_of(setting, &o->source);
    if (config_setting_length(config_root_setting(&document.config)) > 1)
      fg_fault_add(&reader->faults, &o->source.fixed, o->key, "one value only");
    else
      apply(reader, o->key, &value);
  }
  for (size_t i = before; i < reader->faults.count; ++i)
    reader->faults.items[i].order = o->source.fixed.order;
  fg_text_free(&text);
  fg_document_free(&document);
}

static void apply_parts(fg_reader *reader, const override *o) {
  if (strlen(o->key) >= FG_KEY_MAX) {
    fg_fault_add(&reader->faults, &o->source.fixed, NULL, "the key is too long");
  } else if (strlen(o->value) > FG_FLAT_BYTES_MAX) {
    fg_fault_add(&reader->faults, &o->source.fixed, o->key, "the value is too long");
  } else if (*o->value == '(' || *o->value == '[' || *o->value == '{') {
    apply_tree(reader, o);
  } else {
    const fg_value value = {.kind = FG_V_TEXT,
                            .text = unquoted(o->value),
                            .place = o->source.fixed,
                            .source = &o->source};
    apply(reader, o->key, &value);
  }
}

void fg_apply_set(fg_reader *reader, const char *set, size_t index) {
  char q[FG_QUOTED_MAX];
  override o = {
      .source = {.fixed = {"--set", 0, FG_ORDER_SETS + (long)index}, .origin = FG_FROM_SET}};
  char *copy = strdup(set);
  if (!copy) {
    reader->faults.failed = true;
    return;
  }
  char *equals = strchr(copy, '=');
  if (!equals) {
    fg_fault_add(&reader->faults, &o.source.fixed, NULL, "%s: write group.key=value",
                 fg_quoted(set, q));
  } else {
    *equals = '\0';
    o.key = trimmed(copy);
    o.value = trimmed(equals + 1);
    if (*o.key == '\0' || *o.value == '\0')
      fg_fault_add(&reader->faults, &o.source.fixed, NULL, "%s: write group.key=value",
                   fg_quoted(set, q));
    else
      apply_parts(reader, &o);
  }
  free(copy);
}
