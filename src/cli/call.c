/* SPDX-License-Identifier: GPL-3.0-or-later */
/* What every command does with a command line that has been read. */
#include <limits.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/cli.h"
#include "cli/screen.h"
#include "core/date.h"
#include "core/write.h"
#include "flourgold/complaints.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"

/* The last one given of that name, or NULL. */
static const fg_given *find_given(const fg_call *call, const char *name) {
  for (size_t i = call->given_count; i > 0; --i)
    if (strcmp(call->given[i - 1].option->name, name) == 0)
      return &call->given[i - 1];
  return NULL;
}

const char *fg_call_option(const fg_call *call, const char *name) {
  const fg_given *given = find_given(call, name);
  return given ? given->value : NULL;
}

bool fg_call_flag(const fg_call *call, const char *name) { return find_given(call, name); }

double fg_call_number(const fg_call *call, const char *name, double usual) {
  const fg_given *given = find_given(call, name);
  return given ? given->number : usual;
}

bool fg_call_pair(const fg_call *call, const char *name, double *first, double *second) {
  const fg_given *given = find_given(call, name);
  if (given) {
    *first = given->number;
    *second = given->second;
  }
  return given;
}

size_t fg_call_percents(const fg_call *call, const char *name, double shares[], size_t most) {
  static const char parting[] = ", %";
  const fg_given *given = find_given(call, name);
  size_t count = 0;
  const char *p = given ? given->value : "";
  for (p += strspn(p, parting); *p != '\0' && count < most;) {
    shares[count++] = strtod(p, NULL) / 100.0;
    p += strcspn(p, parting);
    p += strspn(p, parting);
  }
  return count;
}

size_t fg_call_names(const fg_call *call, const char *name, int found[]) {
  const fg_given *given = find_given(call, name);
  size_t count = 0;
  for (const char *p = given ? given->value : ""; *p != '\0';) {
    const size_t length = strcspn(p, ", ");
    for (int i = 0; given && given->option->choices[i]; ++i)
      if (strlen(given->option->choices[i]) == length &&
          strncmp(given->option->choices[i], p, length) == 0)
        found[count++] = i;
    p += length;
    p += strspn(p, ", ");
  }
  return count;
}

static void say(const char *format, va_list list) {
  fg_screen_clear();
  fprintf(stderr, "flourgold: ");
  vfprintf(stderr, format, list);
  fprintf(stderr, "\n");
}

int fg_call_fail(const char *format, ...) {
  va_list list;
  va_start(list, format);
  say(format, list);
  va_end(list);
  return FG_EXIT_WRONG;
}

int fg_call_no_answer(const char *format, ...) {
  va_list list;
  va_start(list, format);
  say(format, list);
  va_end(list);
  return FG_EXIT_NO_ANSWER;
}

fg_status fg_call_date(const char *option, const char *text, int *day) {
  bool either = false;
  char iso[FG_DATE_TEXT_MAX];
  const fg_status status = fg_date_read(text, day, &either);
  if (status == FG_OK && either)
    (void)fg_call_fail("%s: %s is read with the month first, as %s", option, text,
                       fg_date_text(*day, iso, sizeof iso));
  return status;
}

int fg_call_complain(const char *path, fg_status status, fg_complaints *complaints) {
  for (size_t i = 0; i < complaints->count; ++i)
    (void)fg_call_fail("%s", complaints->lines[i]);
  if (status != FG_OK && complaints->count == 0)
    (void)fg_call_fail("%s: %s", path, fg_status_text(status));
  fg_complaints_free(complaints);
  return status == FG_OK ? FG_EXIT_DONE : FG_EXIT_WRONG;
}

int fg_call_counts(const char *path, const fg_scenario *scenario, fg_counts *counts) {
  const fg_bucket_size size = {scenario->sample.bucket, scenario->ground.bulk_density};
  fg_complaints complaints = {0};
  const fg_status status = fg_counts_read(path, &size, counts, &complaints);
  return fg_call_complain(path, status, &complaints);
}

int fg_call_scenario_at(const fg_call *call, size_t index, fg_scenario *scenario) {
  fg_complaints complaints = {0};
  char message[PATH_MAX];
  const fg_status status =
      fg_scenario_read(call->files[index], call->sets, call->set_count, scenario, &complaints);
  const int wrong = fg_call_complain(call->files[index], status, &complaints);
  if (wrong == 0 && !fg_call_spares_inputs(call, message, sizeof message))
    return fg_call_fail("%s", message);
  return wrong;
}

int fg_call_scenario(const fg_call *call, fg_scenario *scenario) {
  return fg_call_scenario_at(call, 0, scenario);
}

int fg_call_keeps_old(const fg_call *call) {
  struct stat status;
  if (!call->output || fg_call_flag(call, "--force") || lstat(call->output, &status) != 0)
    return 0;
  if (!S_ISREG(status.st_mode) && !S_ISLNK(status.st_mode))
    return 0; /* a pipe or device */
  return fg_call_fail("%s is there already; it is replaced with --force only", call->output);
}

int fg_call_unsolved(const fg_scenario *scenario, fg_status status) {
  const char *file = scenario->file[0] != '\0' ? scenario->file : "scenario";
  switch (status) {
  case FG_ENOROOT:
    return fg_call_fail("%s: an equation of the model has no solution with these settings together "
                        "(the blower against hose, box and gate; the flow of the bed; a bound of "
                        "the statistics): look for values far from the defaults that "
                        "`flourgold keys` lists",
                        file);
  case FG_EDOMAIN:
    return fg_call_fail("%s: the settings together lie outside what the model's laws are made "
                        "for: look for a size, density or speed far from the defaults that "
                        "`flourgold keys` lists",
                        file);
  default:
    (void)fg_call_fail("%s: %s", file, fg_status_text(status));
    return status == FG_EMEMORY ? FG_EXIT_MACHINE : FG_EXIT_WRONG;
  }
}

int fg_call_ensemble(const fg_call *call, fg_ensemble_choice *choice) {
  if (fg_call_flag(call, "--exact") && fg_call_flag(call, "--samples"))
    return fg_call_fail("--exact and --samples contradict each other: leave one out");
  *choice =
      (fg_ensemble_choice){fg_call_flag(call, "--exact"),
                           (size_t)fg_call_number(call, "--samples", (double)FG_SAMPLES_DEFAULT),
                           (unsigned long)fg_call_number(call, "--seed", 1.0)};
  return 0;
}

/* Fits a report to where its text goes. */
static void shape(const fg_call *call, fg_report *report) {
  if (!call->output)
    fg_report_fit(report, fg_screen_columns(STDOUT_FILENO));
  fg_report_full(report, call->full);
  fg_note(fg_group(fg_report_root(report), NULL, NULL, FG_TEXT_ONLY | FG_SHORT_ONLY),
          "All of this report: the same with --full");
}

int fg_call_emit(const fg_call *call, fg_report *report, int exit_code) {
  char message[512];
  char *bytes = NULL;
  size_t length = 0;
  fg_screen_clear();
  shape(call, report);
  fg_status status =
      report ? fg_report_render(report, call->format, call->units, &bytes, &length) : FG_EMEMORY;
  fg_report_free(report);
  if (status != FG_OK)
    return fg_call_fail("the report cannot be made: %s", fg_status_text(status));
  const char *path = call->output;
  if (!path || strcmp(path, "-") == 0)
    path = "/dev/stdout";
  status = fg_write_file(path, bytes, length, message, sizeof message);
  free(bytes);
  return status == FG_OK ? exit_code : fg_call_fail("%s", message);
}
