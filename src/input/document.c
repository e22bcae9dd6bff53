/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <ctype.h>
#include <stdio.h>
#include <string.h>

#include "input/reader.h"

/* Start of a line of the flat text. */
static const char *line_start(const fg_flat *flat, int line) {
  const char *p = flat->text.bytes;
  for (; p && line > 1; --line) {
    p = strchr(p, '\n');
    if (p)
      ++p;
  }
  return p ? p : "";
}

/* The only name that is given a value on the line, or "" when there is not just one. */
static void only_name(const char *line, char name[static FG_KEY_MAX]) {
  const size_t length = strcspn(line, "\n");
  size_t end = 0, marks = 0;
  for (size_t i = 0; i < length; ++i) {
    if (line[i] != '=' && line[i] != ':')
      continue;
    if (marks++ == 0)
      end = i;
  }
  name[0] = '\0';
  if (marks != 1)
    return;
  while (end > 0 && line[end - 1] == ' ')
    --end;
  size_t start = end;
  while (start > 0 && (isalnum((unsigned char)line[start - 1]) || strchr("_-*", line[start - 1])))
    --start;
  if (end - start < FG_KEY_MAX)
    snprintf(name, FG_KEY_MAX, "%.*s", (int)(end - start), line + start);
}

static void explain(const fg_document *document, fg_faults *faults) {
  const char *text = config_error_text(&document->config);
  const int line = config_error_line(&document->config);
  const fg_place place = fg_flat_place(&document->flat, line);
  char name[FG_KEY_MAX];
  only_name(line_start(&document->flat, line), name);
  if (text && strstr(text, "duplicate"))
    fg_fault_add(faults, &place, name[0] != '\0' ? name : NULL,
                 "%sgiven a second time in the same group; keep one",
                 name[0] != '\0' ? "" : "something on this line is ");
  else if (text && strstr(text, "mismatched element"))
    fg_fault_add(faults, &place, NULL,
                 "the values between [ and ] are of different kinds; use ( and ) instead");
  else
    fg_fault_add(faults, &place, NULL,
                 "this cannot be understood; look here and on the line before for a missing =, a "
                 "missing comma in a list, or a name that does not begin with a letter");
}

/* Whether a member came with its name and its text. */
static bool is_whole(const config_setting_t *member, bool named) {
  if (!member || (named && !config_setting_name(member)))
    return false;
  return config_setting_type(member) != CONFIG_TYPE_STRING || config_setting_get_string(member);
}

/* Whole settings below `group`, at any depth. */
static size_t count_settings(const config_setting_t *group) {
  const int length = config_setting_length(group);
  size_t count = 0;
  for (int i = 0; i < length; ++i) {
    const config_setting_t *member = config_setting_get_elem(group, (unsigned)i);
    count += is_whole(member, config_setting_is_group(group));
    if (member && config_setting_is_aggregate(member))
      count += count_settings(member);
  }
  return count;
}

bool fg_document_whole(const fg_document *document) {
  return count_settings(config_root_setting(&document->config)) == document->flat.settings;
}

fg_status fg_document_parse(fg_document *document, fg_faults *faults) {
  const char *bytes = document->flat.text.bytes;
  config_init(&document->config);
  document->parsed = true;
  if (config_read_string(&document->config, bytes ? bytes : "") == CONFIG_TRUE) {
    if (fg_document_whole(document))
      return FG_OK;
    faults->failed = true;
    return FG_EMEMORY;
  }
  explain(document, faults);
  return FG_ESCENARIO;
}

void fg_document_free(fg_document *document) {
  if (document->parsed)
    config_destroy(&document->config);
  document->parsed = false;
  fg_flat_free(&document->flat);
}
