/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Our own figures of a day, kept so that no change moves them unseen.  They prove nothing:
 * what is true is checked in tests/published and tests/unit.
 *   regression NUMBERS            compares the program's figures with a file of them
 *   regression --update NUMBERS   writes that file anew
 * FLOURGOLD names the program; it is run in the present folder. */
#include <inttypes.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "json_select.h"
#include "process.h"

/* A figure may move by this share of itself, or by this much where it is small. */
static const double relative = 1e-3, absolute = 1e-5;
static const double patience_s = 300.0;

enum { WORDS_MAX = 24, LINE_MAX_BYTES = 400 };

/* The scenarios that have a deck. */
static const char *const decks[] = {"demo",        "bench_high",      "streak_black",
                                    "wash_clayey", "household_small", "household_watched"};
enum { DECKS = sizeof decks / sizeof decks[0] };

/* One command, run on every deck (%s) or once, and the paths of the figures it is watched by. */
typedef struct fgt_watched {
  const char *line;
  const char *paths; /* with blanks between them */
} fgt_watched;

static const fgt_watched each_deck[] = {
    {"loss configs/%s.cfg",
     "state.box_pressure_pa state.blower_flow_m3_s state.deck_velocity_m_s state.rotor_rpm "
     "state.support_mean state.bed_depth_m state.bed_speed_m_s state.capacity_margin "
     "gold[*].kept gold[*].kept_low gold[*].kept_high minerals[*].kept total.kept total.kept_low "
     "total.kept_mid total.kept_high total.stuck total.blown_off total.carried total.shaken_out "
     "total.full total.half_kept_mm total.half_kept_mm_mid total.fine_kept total.fine_kept_mid "
     "riffles[*].fill doubt.effective_samples stall_share"},
    {"tune configs/%s.cfg",
     "settings.throttle settings.gate_opening settings.slope_deg settings.feed_kg_s kept "
     "kept_mid kept_g_h kept_g_h_mid gain gain_mid better_share good_range.throttle_low "
     "good_range.throttle_high"},
    {"cleanup configs/%s.cfg",
     "best_minutes best_minutes_low best_minutes_mid best_minutes_high best_g_h "
     "upper_full_minutes"},
};

static const fgt_watched once[] = {
    {"dry configs/dry-demo.cfg --weather configs/weather-demo.csv --means configs/means-demo.csv",
     "ready_date likely_date chance limit_percent days[5].et0_mm days[20].depletion_mm "
     "days[20].moisture_percent tarp.after_percent"},
    {"dry configs/dry-demo.cfg --weather configs/weather-demo.csv --means configs/means-demo.csv "
     "--exact --flooded 2024-03-10 --tarp 3in --sun 2h",
     "tarp.before_percent tarp.after_percent tarp.thickest_mm"},
    {"sample configs/demo.cfg --counts configs/counts-demo.csv",
     "grade_g_m3 grade_g_m3_low grade_g_m3_high grade_all_doubt_g_m3_low "
     "grade_all_doubt_g_m3_high grade_by_size_g_m3 grade_weighed_g_m3 chance_pays kept_g_h"},
    {"verdict configs/demo.cfg --buckets 100 --found 200mg --tailings configs/tailings-demo.csv",
     "predicted_mg_mid chance chance_tail causes[*].weight learnt.grade_g_m3 learnt.kept"},
    {"day configs/demo.cfg configs/pile-demo.cfg",
     "trips[*].grams trips[*].grams_low trips[*].grams_high trips[*].fuel_l "
     "trips[*].chance_best"},
    {"blowers configs/demo.cfg --samples 16",
     "blowers[*].throttle blowers[*].kept_g_h blowers[*].fuel_l"},
};

/* The figures as lines "command: path#i = value". */
typedef struct fgt_figures {
  char **lines;
  size_t count;
} fgt_figures;

/* A number or a text as the file has it. */
static void show_value(const json_t *node, char *text, size_t size) {
  if (json_is_number(node))
    snprintf(text, size, "%.6g", json_number_value(node));
  else if (json_is_string(node))
    snprintf(text, size, "%s", json_string_value(node));
  else
    snprintf(text, size, "%s", json_is_null(node) ? "null" : "?");
}

static bool add_path(fgt_figures *figures, json_t *document, const char *command,
                     const char *path) {
  fgt_selection found = fgt_json_select(document, path);
  const bool fine = found.count > 0 && !found.missing && !found.malformed;
  for (size_t i = 0; fine && i < found.count; ++i) {
    char value[64];
    show_value(found.nodes[i], value, sizeof value);
    char *line = fgt_format("%s: %s#%zu = %s", command, path, i, value);
    figures->lines = fgt_append(figures->lines, figures->count++, sizeof line, &line);
  }
  if (!fine)
    fprintf(stderr, "%s: nothing at %s\n", command, path);
  return fine;
}

/* Runs a command line, blanks between its words, and reads its JSON; NULL after a message. */
static json_t *run_program(const char *program, const char *line) {
  char *arguments[WORDS_MAX], *rest = NULL;
  size_t count = 0;
  arguments[count++] = (char *)program;
  for (char *word = strtok_r(fgt_format("%s", line), " ", &rest); word && count + 3 < WORDS_MAX;
       word = strtok_r(NULL, " ", &rest))
    arguments[count++] = word;
  arguments[count++] = "--format";
  arguments[count++] = "json";
  arguments[count] = NULL;
  fgt_outcome run = fgt_process_run(arguments, NULL, 0, (fgt_text){0}, patience_s);
  json_t *document = NULL;
  if (!run.trouble && run.exit_status == 0)
    document = json_loadb(run.out.bytes, run.out.length, 0, NULL);
  if (!document)
    fprintf(stderr, "%s: %s, exit %d\n%.*s\n", line, run.trouble ? run.trouble : "no answer",
            run.exit_status, (int)run.err.length, run.err.bytes ? run.err.bytes : "");
  return document;
}

static bool watch(fgt_figures *figures, const char *program, const char *line, const char *paths) {
  char *rest = NULL;
  json_t *document = run_program(program, line);
  bool fine = document;
  for (char *path = strtok_r(fgt_format("%s", paths), " ", &rest); document && path;
       path = strtok_r(NULL, " ", &rest))
    fine = add_path(figures, document, line, path) && fine;
  json_decref(document);
  return fine;
}

static bool gather(fgt_figures *figures, const char *program) {
  bool fine = true;
  for (size_t d = 0; d < DECKS; ++d)
    for (size_t i = 0; i < sizeof each_deck / sizeof each_deck[0]; ++i) {
      const char *line = each_deck[i].line, *mark = strstr(line, "%s");
      const char *made = fgt_format("%.*s%s%s", (int)(mark - line), line, decks[d], mark + 2);
      fine = watch(figures, program, made, each_deck[i].paths) && fine;
    }
  for (size_t i = 0; i < sizeof once / sizeof once[0]; ++i)
    fine = watch(figures, program, once[i].line, once[i].paths) && fine;
  return fine;
}

static int update(const fgt_figures *figures, const char *path) {
  FILE *file = fopen(path, "w");
  bool fine = file;
  for (size_t i = 0; fine && i < figures->count; ++i)
    fine = fprintf(file, "%s\n", figures->lines[i]) > 0;
  if (file && fclose(file) != 0)
    fine = false;
  if (!fine) {
    fprintf(stderr, "regression: cannot write %s\n", path);
    return 2;
  }
  printf("%zu figures written to %s; look at the difference before keeping it\n", figures->count,
         path);
  return 0;
}

/* Whether two values, as texts, agree. */
static bool agree(const char *is, const char *was) {
  char *end_is, *end_was;
  const double a = strtod(is, &end_is), b = strtod(was, &end_was);
  if (*end_is != '\0' || *end_was != '\0' || end_is == is || end_was == was)
    return strcmp(is, was) == 0;
  return fabs(a - b) <= fmax(absolute, relative * fabs(b));
}

/* One figure against its line in the file; false after a message. */
static bool compare_line(const char *is, char *was) {
  static const char sign[] = " = ";
  was[strcspn(was, "\n")] = '\0';
  const char *value_is = strstr(is, sign), *value_was = strstr(was, sign);
  const size_t name = (size_t)(value_is - is);
  if (!value_was || name != (size_t)(value_was - was) || strncmp(is, was, name) != 0) {
    printf("the list of figures has changed: %s\n                   the file has: %s\n", is, was);
    return false;
  }
  if (agree(value_is + sizeof sign - 1, value_was + sizeof sign - 1))
    return true;
  printf("moved: %s (was%s)\n", is, value_was + 2);
  return false;
}

static int compare(const fgt_figures *figures, const char *path) {
  char was[LINE_MAX_BYTES];
  size_t passed = 0, failed = 0;
  FILE *file = fopen(path, "r");
  if (!file) {
    fprintf(stderr, "regression: cannot read %s\n", path);
    return 2;
  }
  for (size_t i = 0; i < figures->count; ++i) {
    const bool more = fgets(was, sizeof was, file);
    if (!more)
      was[0] = '\0';
    if (compare_line(figures->lines[i], was))
      ++passed;
    else
      ++failed;
  }
  if (fgets(was, sizeof was, file)) {
    printf("the file has figures that are no longer watched: %s", was);
    ++failed;
  }
  (void)fclose(file);
  printf("%zu passed, %zu failed\n", passed, failed);
  return failed > 0;
}

int main(int argc, char **argv) {
  const char *program = getenv("FLOURGOLD");
  const bool updating = argc == 3 && strcmp(argv[1], "--update") == 0;
  fgt_figures figures = {0};
  if (!program || (argc != 2 && !updating)) {
    (void)fputs("usage: FLOURGOLD=program regression [--update] NUMBERS\n", stderr);
    return 2;
  }
  int status = 2;
  if (gather(&figures, program))
    status = updating ? update(&figures, argv[2]) : compare(&figures, argv[1]);
  fgt_free_all();
  return status;
}
