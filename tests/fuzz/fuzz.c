/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Every way into the program, for arbitrary bytes. */
#include "fuzz.h"

#include <gsl/gsl_errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <unistd.h>

#include "cli/start.h"
#include "flourgold/catalogue.h"
#include "flourgold/complaints.h"
#include "flourgold/quantity.h"
#include "flourgold/scenario.h"
#include "flourgold/settings.h"
#include "flourgold/status.h"
#include "input/counts_csv.h"
#include "input/readings.h"
#include "input/weather.h"
#include "scenario/settings_table.h"

static const char base[] = "deck = { length = \"1 m\"; width = \"30 cm\"; riffles = 7; };\n"
                           "blower = { free_volume = \"400 cfm\"; nozzle_speed = \"180 mph\"; };\n"
                           "run = { feed = \"30 lb/min\"; };\n";

static void demand(bool holds, const char *what) {
  if (holds)
    return;
  fprintf(stderr, "does not hold: %s\n", what);
  abort();
}

/* What a reader's outcome owes its caller. */
static void check_outcome(fg_status status, fg_complaints *complaints) {
  demand(status == FG_OK || status == FG_ESCENARIO || status == FG_EIO || status == FG_EMEMORY,
         "a reader's status");
  for (size_t i = 0; status == FG_OK && i < complaints->count; ++i)
    demand(strstr(complaints->lines[i], "is unlikely: ") ||
               strstr(complaints->lines[i], "days are read with the month first"),
           "no complaint about good input");
  if (status == FG_OK)
    fg_complaints_free(complaints);
  else if (status != FG_EMEMORY)
    demand(complaints->count > 0, "a complaint about bad input");
  fg_complaints_free(complaints);
}

static void check_scenario(const fg_scenario *scenario) {
  for (size_t i = 0; i < fg_settings_count; ++i)
    if (fg_settings[i].type == FG_T_NUMBER)
      demand(!isinf(fg_setting_value(&fg_settings[i], scenario)), "settings are finite");
}

/* A file that lies in memory. */
typedef struct memory_file {
  int descriptor;
  char path[40];
} memory_file;

static memory_file file_of(const char *bytes, size_t length) {
  memory_file file = {.descriptor = memfd_create("fuzz", MFD_CLOEXEC)};
  demand(file.descriptor >= 0 && write(file.descriptor, bytes, length) == (ssize_t)length,
         "a file in memory");
  (void)snprintf(file.path, sizeof file.path, "/proc/self/fd/%d", file.descriptor);
  return file;
}

static void run_scenario(const char *text, size_t length) {
  (void)length;
  static fg_scenario scenario;
  fg_complaints complaints = {0};
  const fg_status status = fg_scenario_read_text("fuzz.cfg", text, &scenario, &complaints);
  if (status == FG_OK)
    check_scenario(&scenario);
  check_outcome(status, &complaints);
}

static void run_set(const char *text, size_t length) {
  (void)length;
  static fg_scenario scenario;
  fg_complaints complaints = {0};
  const char *const sets[] = {text};
  const memory_file file = file_of(base, sizeof base - 1);
  const fg_status status = fg_scenario_read(file.path, sets, 1, &scenario, &complaints);
  (void)close(file.descriptor);
  if (status == FG_OK)
    check_scenario(&scenario);
  check_outcome(status, &complaints);
}

static void run_catalogue(const char *text, size_t length) {
  static fg_scenario scenario;
  fg_complaints complaints = {0};
  demand(fg_scenario_read_text("fuzz.cfg", base, &scenario, &complaints) == FG_OK, "the base");
  fg_scenario *each = NULL;
  size_t count = 0;
  const memory_file file = file_of(text, length);
  const fg_status status = fg_catalogue_read(file.path, &scenario, &each, &count, &complaints);
  (void)close(file.descriptor);
  for (size_t i = 0; status == FG_OK && i < count; ++i)
    check_scenario(&each[i]);
  if (status == FG_OK)
    free(each);
  check_outcome(status, &complaints);
}

static void run_weather(const char *text, size_t length) {
  const memory_file file = file_of(text, length);
  for (int monthly = 0; monthly < 2; ++monthly) {
    fg_weather weather = {0};
    fg_complaints complaints = {0};
    const fg_status status = monthly ? fg_weather_read_means(file.path, &weather, &complaints)
                                     : fg_weather_read(file.path, &weather, &complaints);
    if (status == FG_OK)
      fg_weather_free(&weather);
    check_outcome(status, &complaints);
  }
  (void)close(file.descriptor);
}

static void run_counts(const char *text, size_t length) {
  const fg_bucket_size size = {.loose_m3 = 0.0189, .bulk_kg_m3 = 1600.0};
  fg_counts counts = {0};
  fg_complaints complaints = {0};
  const memory_file file = file_of(text, length);
  const fg_status status = fg_counts_read(file.path, &size, &counts, &complaints);
  (void)close(file.descriptor);
  for (size_t i = 0; status == FG_OK && i < counts.bucket_count; ++i)
    demand(isfinite(counts.buckets[i].colours) && counts.buckets[i].loose_m3 > 0.0 &&
               counts.buckets[i].station < counts.station_count,
           "buckets are whole");
  if (status == FG_OK)
    fg_counts_free(&counts);
  check_outcome(status, &complaints);
}

static void run_readings(const char *text, size_t length) {
  const fg_readings_options options = {.field = NULL};
  fg_readings readings = {0};
  fg_complaints complaints = {0};
  const memory_file file = file_of(text, length);
  const fg_status status = fg_readings_read(file.path, &options, &readings, &complaints);
  (void)close(file.descriptor);
  for (size_t i = 0; status == FG_OK && i < readings.count; ++i)
    demand(isfinite(readings.list[i].x_m) && isfinite(readings.list[i].y_m) &&
               isfinite(readings.list[i].value),
           "readings are whole");
  if (status == FG_OK)
    fg_readings_free(&readings);
  check_outcome(status, &complaints);
}

/* One line an answer; where all fit, they make a text that is read as a scenario. */
static void run_answers(const char *text, size_t length) {
  (void)length;
  char(*answers)[FG_ANSWER_MAX] = calloc(fg_questions_count, sizeof *answers);
  demand(answers, "memory");
  bool fit = true;
  for (size_t i = 0; i < fg_questions_count; ++i) {
    const size_t line = strcspn(text, "\n");
    char message[256] = "", answer[FG_ANSWER_MAX];
    (void)snprintf(answer, sizeof answer, "%.*s",
                   line < FG_ANSWER_MAX ? (int)line : FG_ANSWER_MAX - 1, *text ? text : "?");
    text += line + (text[line] == '\n');
    const bool fits = fg_answer_take(&fg_questions[i], answer, answers[i], message, sizeof message);
    demand(fits || message[0] != '\0', "a sentence about an answer");
    demand(!fits || !strpbrk(answers[i], "\"\\\n"), "an answer that may stand in a file");
    if (fits)
      (void)fg_answer_doubt(&fg_questions[i], answers[i]);
    fit = fit && fits;
  }
  if (fit) {
    fg_text out = {0};
    fg_start_scenario((const char(*)[FG_ANSWER_MAX])answers, &out);
    char *made = fg_text_take(&out, NULL);
    demand(made, "memory");
    run_scenario(made, strlen(made));
    free(made);
  }
  free(answers);
}

static void run_quantity(const char *text, size_t length) {
  (void)length;
  for (int quantity = 0; quantity < FG_Q_COUNT; ++quantity) {
    double si = 0.0;
    int basis;
    char message[256] = "";
    if (fg_quantity_parse(text, (fg_quantity)quantity, &si, &basis, message, sizeof message) ==
        FG_OK)
      demand(isfinite(si), "a quantity is finite");
    else
      demand(message[0] != '\0', "a sentence about a quantity");
  }
}

static void (*const functions[])(const char *text, size_t length) = {
    run_scenario, run_set,      run_catalogue, run_weather, run_counts,
    run_readings, run_readings, run_answers,   run_quantity};

const char *const fg_fuzz_targets[] = {"scenario", "set", "catalogue", "weather",  "counts",
                                       "readings", "gpx", "answers",   "quantity", NULL};

bool fg_fuzz_run(const char *target, const uint8_t *bytes, size_t length) {
  (void)gsl_set_error_handler_off();
  for (size_t i = 0; fg_fuzz_targets[i]; ++i) {
    if (strcmp(fg_fuzz_targets[i], target) != 0)
      continue;
    char *text = malloc(length + 1);
    demand(text, "memory");
    memcpy(text, bytes, length);
    text[length] = '\0';
    functions[i](text, length);
    free(text);
    return true;
  }
  return false;
}
