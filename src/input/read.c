/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/complain.h"
#include "input/reader.h"
#include "model/household.h"
#include "scenario/settings_table.h"
#include "scenario/unlikely.h"

/* The path as reports may print it: valid UTF-8, its end kept when it is long.  False when
 * memory runs out. */
static bool note_file(fg_scenario *scenario, const char *path) {
  fg_text valid = {0};
  fg_text_add_valid(&valid, path);
  const char *text = valid.bytes ? valid.bytes : "";
  const size_t length = strlen(text);
  const size_t most = FG_TEXT_MAX - 1 - strlen("...");
  if (length < FG_TEXT_MAX) {
    memcpy(scenario->file, text, length + 1);
  } else {
    const char *tail = text + length - most;
    while (((unsigned char)*tail & 0xc0) == 0x80)
      ++tail;
    snprintf(scenario->file, sizeof scenario->file, "...%s", tail);
  }
  const bool noted = !valid.failed;
  fg_text_free(&valid);
  return noted;
}

/* Rows written on another basis than the table's unit can be checked only now. */
static bool other_basis(const fg_scenario *scenario, const fg_setting *setting) {
  int basis = FG_BASIS_SI;
  if (setting->basis_offset != 0)
    memcpy(&basis, (const char *)scenario + setting->basis_offset, sizeof basis);
  return basis != FG_BASIS_SI;
}

/* Resolves a fault-free scenario and checks what that brought. */
static void resolve(fg_reader *reader) {
  bool later[FG_SETTINGS_MAX] = {false};
  const fg_place whole = {reader->path, 0, FG_ORDER_WHOLE_FILE};
  for (size_t i = 0; i < fg_settings_count; ++i)
    later[i] = other_basis(reader->scenario, &fg_settings[i]);
  char reason[FG_MESSAGE_MAX];
  int row;
  const fg_status status = fg_resolve_saying(reader->scenario, &row, reason);
  if (status != FG_OK && row >= 0) {
    const fg_place at = reader->place[row].file ? reader->place[row] : whole;
    fg_row_fault(reader, row, &at, "%s", reason);
    return;
  }
  if (status != FG_OK) {
    fg_fault_add(&reader->faults, &whole, NULL,
                 "the settings do not give a consistent scenario: %s", fg_status_text(status));
    return;
  }
  for (size_t i = 0; i < fg_settings_count; ++i) {
    const bool derived = reader->scenario->origin[i] == FG_FROM_DERIVED;
    const double si = fg_setting_value(&fg_settings[i], reader->scenario);
    if (fg_settings[i].type != FG_T_NUMBER || isnan(si) || !(later[i] || derived))
      continue;
    const fg_place place = reader->place[i].file ? reader->place[i] : whole;
    char text[80], shown[120];
    fg_quantity_text(fg_settings[i].quantity, FG_UNITS_US, si, text, sizeof text);
    snprintf(shown, sizeof shown, derived ? "what follows from the other settings, %s," : "%s",
             text);
    fg_check_range(reader, (int)i, si, shown, &place);
  }
}

/* Remarks on values that were written and are hardly meant so. */
static void doubt_unlikely(fg_reader *reader) {
  for (size_t i = 0; i < fg_settings_count; ++i) {
    const unsigned char origin = reader->scenario->origin[i];
    const double si = fg_setting_value(&fg_settings[i], reader->scenario);
    const char *usual = isnan(si) ? NULL : fg_unlikely((int)i, si);
    char text[80];
    if (!usual || (origin != FG_FROM_FILE && origin != FG_FROM_SET))
      continue;
    fg_fault_add(&reader->remarks, &reader->place[i], fg_settings[i].key,
                 "%s is unlikely: %s (taken as written)",
                 fg_setting_text(&fg_settings[i], reader->scenario, FG_UNITS_US, text, sizeof text),
                 usual);
  }
}

/* What is read: a file, or a text in memory, and what is set besides. */
typedef struct fg_input {
  const char *text; /* NULL: the file itself */
  const char *const *sets;
  size_t set_count;
} fg_input;

/* Everything from the file's text to the checked scenario. */
static fg_status read_all(fg_reader *reader, fg_document *document, const fg_input *input) {
  const fg_status status =
      input->text ? fg_flat_text(reader->path, input->text, &document->flat, &reader->faults)
                  : fg_flat_read(reader->path, &document->flat, &reader->faults);
  const bool parsed = status == FG_OK && fg_document_parse(document, &reader->faults) == FG_OK;
  if (status == FG_EIO || status == FG_EMEMORY)
    return status;
  if (parsed) {
    const fg_source source = {.flat = &document->flat, .origin = FG_FROM_FILE};
    fg_read_root(reader, config_root_setting(&document->config), &source);
    fg_note_as_run(reader->scenario); /* readings belong to the file's settings */
  }
  for (size_t i = 0; i < input->set_count; ++i)
    fg_apply_set(reader, input->sets[i], i);
  if (parsed) {
    fg_check_exclusive(reader);
    fg_check_missing(reader);
    fg_check_together(reader);
  }
  if (reader->faults.count == 0)
    resolve(reader);
  if (reader->faults.count == 0)
    doubt_unlikely(reader);
  return reader->faults.count == 0 ? FG_OK : FG_ESCENARIO;
}

static fg_status read_input(const char *path, const fg_input *input, fg_scenario *out,
                            fg_complaints *complaints) {
  fg_document document = {.parsed = false};
  fg_reader *reader = calloc(1, sizeof *reader);
  fg_scenario *scenario = malloc(sizeof *scenario);
  fg_status status = FG_EMEMORY;
  if (reader && scenario) {
    fg_scenario_default(scenario);
    reader->standard = *scenario;
    reader->path = path;
    reader->scenario = scenario;
    reader->faults.failed = !note_file(scenario, path);
    status = read_all(reader, &document, input);
    fg_faults_publish(&reader->faults, complaints);
    if (status == FG_OK)
      fg_faults_publish(&reader->remarks, complaints);
    if (reader->faults.failed || reader->remarks.failed)
      status = FG_EMEMORY;
    if (status == FG_OK)
      *out = *scenario;
    fg_faults_free(&reader->faults);
    fg_faults_free(&reader->remarks);
    fg_document_free(&reader->catalogue);
  }
  if (status == FG_EMEMORY)
    fg_complain(complaints, "%s: memory ran out", path);
  fg_document_free(&document);
  free(scenario);
  free(reader);
  return status;
}

fg_status fg_scenario_read(const char *path, const char *const *sets, size_t set_count,
                           fg_scenario *out, fg_complaints *complaints) {
  const fg_input input = {NULL, sets, set_count};
  return read_input(path, &input, out, complaints);
}

fg_status fg_scenario_read_text(const char *path, const char *text, fg_scenario *out,
                                fg_complaints *complaints) {
  const fg_input input = {text, NULL, 0};
  return read_input(path, &input, out, complaints);
}
