/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Help, made from the table of commands. */
#include <stdio.h>
#include <string.h>

#include "cli/cli.h"
#include "cli/topics.h"
#include "core/nearest.h"

/* The paragraphs of `details`, which a line feed parts; "- " begins a bullet. */
static void add_details(fg_node *node, const char *details) {
  while (details && *details != '\0') {
    size_t bytes = strcspn(details, "\n");
    if (strncmp(details, "- ", 2) == 0)
      fg_bullet(node, "%.*s", (int)bytes - 2, details + 2);
    else
      fg_note(node, "%.*s", (int)bytes, details);
    details += bytes + (details[bytes] != '\0');
  }
}

static void add_options(fg_node *node, const fg_command *command, const fg_option *options) {
  char label[64], meaning[256];
  for (; options && options->name; ++options) {
    if (!fg_option_applies(command, options))
      continue;
    const char *value = options->value ? options->value : "";
    (void)snprintf(label, sizeof label, "%s%s%s%s%s", options->brief ? options->brief : "",
                   options->brief ? ", " : "", options->name, value[0] != '\0' ? " " : "", value);
    fg_string(node, options->name, label, fg_option_meaning(options, meaning, sizeof meaning), 0);
  }
}

/* What of the command's JSON may be null. */
static void add_nulls(fg_node *root, const fg_command *command) {
  static const fg_column_of columns[] = {
      {"names", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, offsetof(fg_null, names)},
      {"meaning", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, offsetof(fg_null, meaning)},
  };
  fg_node *table = fg_table(root, "nulls", NULL, FG_DATA_ONLY);
  fg_node *group = NULL;
  FG_COLUMNS_OF(table, columns);
  for (const fg_null *null = fg_nulls; null->command; ++null) {
    if (strcmp(null->command, command->name) != 0)
      continue;
    if (!group)
      group = fg_group(root, NULL, "Null in JSON, and what it means", FG_TEXT_ONLY);
    FG_ROW_OF(table, columns, null);
    fg_bullet(group, "%s: %s", null->names, null->meaning);
  }
}

static void add_usage(fg_node *root, const char *line) {
  fg_string(root, "usage", NULL, line, FG_DATA_ONLY);
  fg_note(root, "Usage: %s", line);
}

static void add_command(fg_node *root, const fg_command *command) {
  char line[128];
  fg_string(root, "command", NULL, command->name, FG_DATA_ONLY);
  fg_string(root, "summary", NULL, command->summary, FG_DATA_ONLY);
  fg_note(root, "flourgold %s: %s.", command->name, command->summary);
  (void)snprintf(line, sizeof line, "flourgold %s %s", command->name, command->usage);
  add_usage(root, line);
  fg_string(root, "example", "Example", command->example, 0);
  add_details(root, command->details);
  fg_node *options = fg_group(root, "options", "Options", 0);
  add_options(options, command, command->options);
  add_options(options, command, fg_common_options);
  add_nulls(root, command);
}

const char fg_purpose[] =
    "flourgold works out what a dry, blower-driven riffled tray does with placer gold of every "
    "size: the air, the bed, what is kept and what is lost.";

/* One a line, in quotes, so that none reads like a command. */
static void add_topics(fg_node *node) {
  fg_note(node, "Topics:");
  for (size_t i = 0; i < fg_topics_count; ++i)
    fg_bullet(node, "'flourgold help %s': %s", fg_topics[i].name, fg_topics[i].summary);
}

static void add_commands(fg_node *root) {
  fg_note(root, "New here? flourgold start -o my_wash.cfg");
  fg_note(root, "%s", fg_purpose);
  add_usage(root, "flourgold COMMAND [OPTION]... [FILE]...");
  fg_node *all = fg_group(root, "commands", NULL, 0);
  fg_node *group = NULL;
  const char *title = "";
  for (size_t i = 0; i < fg_commands_count; ++i) {
    const fg_command *command = &fg_commands[i];
    if (strcmp(title, command->group) != 0)
      group = fg_group(all, NULL, command->group, 0);
    title = command->group;
    fg_string(group, command->name, command->name, command->summary, 0);
  }
  add_topics(fg_group(all, NULL, NULL, FG_TEXT_ONLY));
  fg_note(all, "'flourgold help COMMAND' explains a command and its options; 'flourgold keys' "
               "explains the settings; 'flourgold version' prints the version.");
}

static int print_topic(const fg_call *call, const fg_topic *topic) {
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  fg_string(root, "topic", NULL, topic->name, 0);
  fg_string(root, "opening", NULL, topic->opening, 0);
  fg_string(root, "text", NULL, topic->text, 0);
  fg_node *page = fg_group(root, NULL, NULL, FG_TEXT_ONLY);
  fg_note(page, "%s: %s.", topic->name, topic->summary);
  add_details(page, topic->opening);
  add_details(page, topic->text);
  return fg_call_emit(call, report, FG_EXIT_DONE);
}

static int print(const fg_call *call, const fg_command *command) {
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  if (command)
    add_command(root, command);
  else
    add_commands(root);
  return fg_call_emit(call, report, FG_EXIT_DONE);
}

int fg_help(const fg_call *call) {
  if (call->command->run)
    return print(call, call->command);
  if (call->help || call->word_count == 0)
    return print(call, NULL);
  const fg_command *command = fg_command_find(call->words[0]);
  if (command)
    return print(call, command);
  const fg_topic *topic = fg_topic_find(call->words[0]);
  if (topic)
    return print_topic(call, topic);
  enum { MOST = 48 };
  const char *names[MOST + 1] = {NULL};
  size_t known = 0;
  for (size_t i = 0; i < fg_commands_count && known < MOST; ++i)
    names[known++] = fg_commands[i].name;
  for (size_t i = 0; i < fg_topics_count && known < MOST; ++i)
    names[known++] = fg_topics[i].name;
  const char *near = fg_nearest(call->words[0], names);
  if (near)
    return fg_call_fail("there is no command '%s'; did you mean '%s'?", call->words[0], near);
  return fg_call_fail("there is no command '%s'; 'flourgold help' lists them", call->words[0]);
}
