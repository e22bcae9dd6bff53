/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Quantities as people read them, the report's renderers, and the writing of files. */
#include "core/write.h"
#include "fg_test.h"

#include <dirent.h>
#include <fcntl.h>
#include <math.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/ioctl.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <jansson.h>

#include "cli/screen.h"
#include "core/text.h"
#include "core/unit_table.h"
#include "flourgold/quantity.h"
#include "pages/loss_report.h"
#include "report/report.h"
#include "report/said.h"

/* ---- quantities ---- */

/* Defining values of the units: NIST SP 811 (2008), appendix B.8; the standard atmosphere
 * as 29.92 inHg and 406.8 inH2O; water as 62.43 lb/ft3. */
static void test_units_agree_with_published_factors(void **state) {
  (void)state;
  assert_close(fg_quantity_shown(FG_Q_DISTANCE, FG_UNITS_US, 304.8), 1000.0, 1e-12);
  assert_close(fg_quantity_shown(FG_Q_LENGTH, FG_UNITS_US, 0.2032), 8.0, 1e-12);
  assert_close(fg_quantity_shown(FG_Q_MASS, FG_UNITS_US, 45.359237), 100.0, 1e-12);
  assert_close(fg_quantity_shown(FG_Q_NOZZLE_SPEED, FG_UNITS_US, 26.8224), 60.0, 1e-12);
  assert_close(fg_quantity_shown(FG_Q_VOLUME_RATE, FG_UNITS_US, 4.719474e-4), 1.0, 1e-6);
  assert_close(fg_quantity_shown(FG_Q_BAROMETER, FG_UNITS_US, 101325.0), 29.92, 1e-4);
  assert_close(fg_quantity_shown(FG_Q_PRESSURE, FG_UNITS_US, 101325.0), 406.8, 1e-4);
  assert_close(fg_quantity_shown(FG_Q_DENSITY, FG_UNITS_US, 1000.0), 27.0 * 62.43, 1e-4);
  assert_close(fg_quantity_shown(FG_Q_FUEL_RATE, FG_UNITS_US, 3.785411784e-3 / 3600.0), 1.0, 1e-12);
  assert_close(fg_quantity_shown(FG_Q_YARD_RATE, FG_UNITS_US, 0.764554857984 / 3600.0), 1.0, 1e-12);
  assert_close(fg_quantity_shown(FG_Q_TEMPERATURE, FG_UNITS_US, 373.15), 212.0, 1e-12);
  assert_close(fg_quantity_shown(FG_Q_TEMPERATURE, FG_UNITS_US, 233.15), -40.0, 1e-9);
  assert_close(fg_quantity_shown(FG_Q_TEMPERATURE, FG_UNITS_SI, 233.15), -40.0, 1e-9);
  assert_close(fg_quantity_shown(FG_Q_FREQUENCY, FG_UNITS_SI, 25.0), 1500.0, 1e-12);
}

static void test_every_kind_has_a_row(void **state) {
  (void)state;
  for (int q = 0; q < FG_Q_COUNT; ++q) {
    const fg_quantity_info *info = fg_quantity_of((fg_quantity)q);
    assert_non_null(info->name);
    assert_non_null(info->si_unit);
    assert_non_null(info->example);
    assert_non_null(info->accepts);
    for (int u = 0; u < 2; ++u) {
      assert_non_null(info->show[u].unit);
      assert_true(fg_unit_shown(info->show[u].unit).factor > 0.0);
      assert_true(info->show[u].digits > 0);
    }
  }
  assert_ptr_equal(fg_quantity_of((fg_quantity)-1), fg_quantity_of(FG_Q_NUMBER));
  assert_ptr_equal(fg_quantity_of(FG_Q_COUNT), fg_quantity_of(FG_Q_NUMBER));
}

static void assert_text(fg_quantity q, fg_unit_system units, double si, const char *expected) {
  char buffer[128];
  assert_string_equal(fg_quantity_text(q, units, si, buffer, sizeof buffer), expected);
}

static void test_texts_for_people(void **state) {
  (void)state;
  const double degree = 3.14159265358979323846 / 180.0;
  assert_text(FG_Q_SLOPE, FG_UNITS_US, 20.0 * degree, "20 deg (4 3/8 in per ft)");
  assert_text(FG_Q_SLOPE, FG_UNITS_SI, 20.0 * degree, "20 deg");
  assert_text(FG_Q_SLOPE, FG_UNITS_US, atan(0.5), "26.6 deg (6 in per ft)");
  assert_text(FG_Q_SLOPE, FG_UNITS_US, 0.0, "0 deg");
  assert_text(FG_Q_SLOPE, FG_UNITS_US, 90.0 * degree, "90 deg");
  assert_text(FG_Q_LENGTH, FG_UNITS_US, 0.31 * 0.0254, "0.31 in (5/16)");
  assert_text(FG_Q_LENGTH, FG_UNITS_US, 0.0127, "0.5 in (1/2)");
  assert_text(FG_Q_LENGTH, FG_UNITS_US, 0.2032, "8 in");
  assert_text(FG_Q_LENGTH, FG_UNITS_US, 0.0009, "0.0354 in"); /* 1/16 in is 0.0625 */
  assert_text(FG_Q_LENGTH, FG_UNITS_US, 0.061 * 0.0254, "0.061 in (1/16)");
  assert_text(FG_Q_GRAIN_SIZE, FG_UNITS_US, 0.00635, "6.35 mm (1/4 in)");
  assert_text(FG_Q_GRAIN_SIZE, FG_UNITS_US, 0.00475, "4.75 mm (3/16 in)");
  assert_text(FG_Q_GRAIN_SIZE, FG_UNITS_US, 0.002, "2 mm");
  assert_text(FG_Q_GRAIN_SIZE, FG_UNITS_US, 0.0003, "0.3 mm");
  assert_text(FG_Q_GRAIN_SIZE, FG_UNITS_SI, 0.00635, "6.35 mm");
  assert_text(FG_Q_VISCOSITY, FG_UNITS_US, 1.83e-5, "18.3 uPa s");
  assert_text(FG_Q_VISCOSITY, FG_UNITS_US, 0.6, "0.6 Pa s");
  assert_text(FG_Q_LENGTH, FG_UNITS_SI, 0.0127, "12.7 mm");
  assert_text(FG_Q_SHARE, FG_UNITS_US, 0.33, "33 %");
  assert_text(FG_Q_FEED, FG_UNITS_US, 33.0 * 0.45359237 / 60.0, "33 lb/min");
  assert_text(FG_Q_TEMPERATURE, FG_UNITS_US, 297.0388888888889, "75 F");
  assert_text(FG_Q_FREQUENCY, FG_UNITS_US, 1725.0 / 60.0, "1725 rpm");
  assert_text(FG_Q_PRESSURE, FG_UNITS_US, NAN, "unknown");
  assert_text(FG_Q_TEMPERATURE, FG_UNITS_US, -INFINITY, "unknown");
}

static void test_short_buffers_are_terminated(void **state) {
  (void)state;
  char buffer[6] = "xxxxx";
  fg_quantity_text(FG_Q_SLOPE, FG_UNITS_US, 0.349, buffer, sizeof buffer);
  assert_string_equal(buffer, "20 de");
  fg_quantity_text(FG_Q_SLOPE, FG_UNITS_US, 0.349, buffer, 1);
  assert_string_equal(buffer, "");
}

static void test_numbers_for_people(void **state) {
  (void)state;
  static const struct {
    double value;
    const char *text;
  } cases[] = {
      {0.0, "0"},           {-0.0, "0"},          {1.5, "1.5"},          {0.00123456, "0.00123"},
      {1234.56, "1235"},    {999999.0, "999999"}, {2.5e6, "2.5e+06"},    {1.84e-5, "0.0000184"},
      {99.96, "100"},       {-12.345, "-12.3"},   {INFINITY, "unknown"}, {NAN, "unknown"},
      {1.84e-7, "1.84e-07"}};
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; ++i) {
    char buffer[32];
    assert_string_equal(fg_number_text(cases[i].value, 3, buffer, sizeof buffer), cases[i].text);
  }
}

/* ---- data names ---- */

static void test_endings_carry_units(void **state) {
  (void)state;
  static const struct {
    const char *name, *unit;
    double factor;
  } cases[] = {{"air_density_kg_m3", "kg/m3", 1.0},
               {"air_viscosity_pa_s", "Pa s", 1.0},
               {"box_pressure_pa", "Pa", 1.0},
               {"blower_flow_m3_s", "m3/s", 1.0},
               {"deck_velocity_m_s", "m/s", 1.0},
               {"rotor_rpm", "rpm", 60.0},
               {"shear_1_s", "1/s", 1.0},
               {"residence_s", "s", 1.0},
               {"sauter_m", "m", 1.0},
               {"lower_mm", "mm", 1e3},
               {"kept_g_h", "g/h", 3.6e6},
               {"feed_kg_h", "kg/h", 3600.0},
               {"feed_ft3_h", "ft3/h", 3600.0 / 0.028316846592},
               {"feed_yd3_h", "yd3/h", 3600.0 / 0.764554857984},
               {"bound_percent", "%", 100.0},
               {"mass_mg", "mg", 1e6},
               {"kept_g_h_low", "g/h", 3.6e6},
               {"held_kg_12", "kg", 1.0},
               {"kept", "", 1.0},
               {"deck.slope_deg", "", 1.0},
               {"_mm", "", 1.0},
               {"threshold_ratio", "", 1.0},
               {"", "", 1.0}};
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; ++i) {
    const fg_data_unit *unit = fg_data_unit_of(cases[i].name);
    assert_string_equal(unit->unit, cases[i].unit);
    assert_close(unit->factor, cases[i].factor, 1e-12);
  }
  assert_close(fg_data_unit_of("air_c")->offset, -273.15, 1e-12);
}

/* ---- renderers ---- */

static char *render(fg_report *report, fg_format format) {
  char *text = NULL;
  size_t length = 0;
  assert_int_equal(fg_report_render(report, format, FG_UNITS_US, &text, &length), FG_OK);
  assert_int_equal(strlen(text), length);
  return text;
}

static void assert_rendered(fg_report *report, fg_format format, const char *expected) {
  char *text = render(report, format);
  assert_string_equal(text, expected);
  free(text);
}

/* No line of `text` has more than `columns` characters, or blanks at its end. */
static void assert_columns(const char *text, size_t columns) {
  while (*text != '\0') {
    size_t bytes = strcspn(text, "\n");
    assert_true(fg_text_width(text, bytes) <= columns);
    assert_true(bytes == 0 || text[bytes - 1] != ' ');
    text += bytes + (text[bytes] != '\0');
  }
}

static void test_text_layout(void **state) {
  (void)state;
  fg_report *report = fg_report_new();
  fg_node *group = fg_group(fg_report_root(report), "state", "Air", 0);
  fg_number(group, "slope_deg", "Slope", FG_Q_ANGLE, 0.3490658503988659, 0);
  fg_number(group, "hidden_pa", NULL, FG_Q_PRESSURE, 1.0, 0);
  fg_integer(group, "riffles", "Riffles", 5, 0);
  fg_boolean(group, "runs", "Bed runs", true, 0);
  fg_number_band(group, "kept", "Kept", FG_Q_SHARE, 0.5, &(fg_band){0.4, 0.5, 0.61}, 0);
  fg_number(group, "lost", "Lost", FG_Q_SHARE, NAN, 0);
  fg_string(group, "name", "Name", "", 0);
  fg_note(group, "The %s.", "end");
  fg_bullet(group, "one");
  fg_bullet(group, "two");
  assert_rendered(report, FG_FORMAT_TEXT,
                  "Air\n===\n"
                  "Slope ...... 20 deg\n"
                  "Riffles .... 5\n"
                  "Bed runs ... yes\n"
                  "Kept ....... 50 % (40 to 61)\n"
                  "Lost ....... unknown\n"
                  "Name ....... -\n"
                  "\nThe end.\n\n- one\n- two\n");
  fg_report_free(report);
}

static void test_wrapping_counts_characters(void **state) {
  (void)state;
  fg_report *report = fg_report_new();
  fg_report_columns(report, 20);
  fg_node *root = fg_report_root(report);
  fg_bullet(root, "%s", "caf\xC3\xA9 \xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9 12 345 6");
  fg_note(root, "abcdefghijklmnopqrstuvwxyz");
  fg_string(root, "s", "A label that is far too long", "value", 0);
  char *text = render(report, FG_FORMAT_TEXT);
  assert_columns(text, 20);
  assert_non_null(
      strstr(text, "- caf\xC3\xA9 \xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9\xC3\xA9 12 345\n  6\n"));
  assert_non_null(strstr(text, "abcdefghijklmnopqrst\nuvwxyz\n"));
  free(text);
  fg_report_free(report);
}

static void test_terminal_commands_are_defused(void **state) {
  (void)state;
  fg_report *report = fg_report_new();
  fg_string(fg_report_root(report), "name", "Name", "a\x1B[2Jb\xFF\xC2\x9Bz", 0);
  assert_rendered(report, FG_FORMAT_TEXT, "Name ... a?[2Jb\xEF\xBF\xBD?z\n");
  fg_report_free(report);
}

static fg_node *loss_table(fg_node *parent) {
  fg_node *table = fg_table(parent, "gold", "Gold by size", FG_PRIMARY);
  fg_column_text(table, "mesh", "Mesh", 0);
  fg_column(table, "size_mm", "Size", FG_Q_GRAIN_SIZE, 0);
  fg_column(table, "kept", "Kept", FG_Q_SHARE, 0);
  fg_column(table, "blown_off", "Blown off", FG_Q_SHARE, 0);
  fg_column_list(table, "by_riffle", FG_Q_SHARE, 2);
  fg_row(table);
  fg_cell_text(table, "20 to 30");
  fg_cell(table, 0.71e-3);
  fg_cell(table, 0.98765);
  fg_cell(table, 0.0);
  fg_cell_list(table, (double[]){0.75, 0.25}, 2);
  fg_row(table);
  fg_cell_text(table, "under 200");
  fg_cell(table, 0.0625e-3);
  fg_cell(table, 0.0001);
  fg_cell(table, NAN);
  fg_cell_list(table, (double[]){NAN, 1.0}, 2);
  return table;
}

static void test_table_text(void **state) {
  (void)state;
  fg_report *report = fg_report_new();
  loss_table(fg_report_root(report));
  assert_rendered(report, FG_FORMAT_TEXT,
                  "Gold by size\n"
                  "                        Blown\n"
                  "Mesh        Size  Kept    off\n"
                  "              mm     %      %\n"
                  "-----------------------------\n"
                  "20 to 30    0.71    99      0\n"
                  "under 200  0.062    <1      -\n");
  fg_report_free(report);
}

static void test_wide_tables_are_tightened(void **state) {
  (void)state;
  for (int columns = 20; columns <= 100; columns += 5) {
    fg_report *report = fg_report_new();
    fg_report_columns(report, columns);
    fg_node *table = fg_table(fg_report_root(report), "t", "Wide", 0);
    char label[32];
    fg_column_text(table, "what", "What is in this row", 0);
    for (int c = 0; c < 12; ++c) {
      snprintf(label, sizeof label, "Figure number %d", c);
      fg_column(table, "x", label, FG_Q_SPEED, 0);
    }
    for (int r = 0; r < 3; ++r) {
      fg_row(table);
      fg_cell_text(table, "a name of several words, and anunusuallylongonebesides");
      for (int c = 0; c < 12; ++c)
        fg_cell(table, pow(10.0, r) * (c + 0.123));
    }
    char *text = render(report, FG_FORMAT_TEXT);
    assert_columns(text, (size_t)columns);
    assert_non_null(strstr(text, "11"));
    free(text);
    fg_report_free(report);
  }
}

static void test_json(void **state) {
  (void)state;
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  fg_node *heading = fg_group(root, NULL, "Heading", 0);
  fg_number(heading, "zero_c", "T", FG_Q_TEMPERATURE, 273.15, 0);
  fg_number(heading, "tenth", "x", FG_Q_NUMBER, 0.1, 0);
  fg_number(heading, "third", "x", FG_Q_NUMBER, 1.0 / 3.0, 0);
  fg_number(heading, "none", "x", FG_Q_NUMBER, NAN, 0);
  fg_string(heading, "name", "n", "a\"\xFF\n\x01", 0);
  fg_string(heading, "people", "n", "only", FG_TEXT_ONLY);
  fg_note(heading, "not data");
  fg_number_band(heading, "k_mm", "k", FG_Q_LENGTH, 0.001, &(fg_band){0.0005, INFINITY, 2.0}, 0);
  fg_node *list = fg_list(root, "points_mm", 0);
  fg_list_number(fg_list_list(list), 0.002);
  fg_list_string(list, "s");
  loss_table(root);
  char *text = render(report, FG_FORMAT_JSON);
  assert_non_null(strstr(text, "\"tenth\": 0.1,\n"));
  json_error_t error;
  json_t *json = json_loads(text, JSON_REJECT_DUPLICATES, &error);
  assert_non_null(json);
  const char *first = json_object_iter_key(json_object_iter(json));
  assert_string_equal(first, "zero_c");
  assert_within(json_number_value(json_object_get(json, "zero_c")), 0.0, 1e-12);
  assert_true(json_real_value(json_object_get(json, "third")) == 1.0 / 3.0);
  assert_true(json_is_null(json_object_get(json, "none")));
  assert_string_equal(json_string_value(json_object_get(json, "name")), "a\"\xEF\xBF\xBD\n\x01");
  assert_null(json_object_get(json, "people"));
  assert_close(json_number_value(json_object_get(json, "k_mm_low")), 0.5, 1e-12);
  assert_true(json_is_null(json_object_get(json, "k_mm_mid")));
  json_t *points = json_object_get(json, "points_mm");
  assert_close(json_number_value(json_array_get(json_array_get(points, 0), 0)), 2.0, 1e-12);
  json_t *row = json_array_get(json_object_get(json, "gold"), 1);
  assert_true(json_is_null(json_object_get(row, "blown_off")));
  assert_true(json_is_null(json_array_get(json_object_get(row, "by_riffle"), 0)));
  assert_close(json_number_value(json_object_get(row, "size_mm")), 0.0625, 1e-12);
  json_decref(json);
  free(text);
  fg_report_free(report);
}

static void test_csv_of_tables(void **state) {
  (void)state;
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  fg_string(root, "scenario", "x", "left out", 0);
  loss_table(root);
  loss_table(root);
  fg_node *other = fg_table(root, "o", NULL, FG_PRIMARY);
  fg_column_text(other, "text", "Text", 0);
  static const char *const texts[] = {"=1+1", "-5",        "-5+1", "@x",
                                      "a,b",  "say \"x\"", "",     "two\nlines"};
  for (size_t i = 0; i < sizeof texts / sizeof texts[0]; ++i) {
    fg_row(other);
    fg_cell_text(other, texts[i]);
  }
  char *text = render(report, FG_FORMAT_CSV);
  static const char start[] = "mesh,size_mm,kept,blown_off,by_riffle_1,by_riffle_2\n20 to 30,0.71,";
  assert_int_equal(strncmp(text, start, sizeof start - 1), 0);
  assert_null(strstr(text + 10, "mesh"));
  assert_non_null(strstr(text, "\nunder 200,0.0625,0.0001,,,1.0\n"));
  assert_non_null(strstr(text, "\n\ntext\n'=1+1\n-5\n'-5+1\n'@x\n\"a,b\"\n\"say \"\"x\"\"\"\n\n"
                               "\"two\nlines\"\n"));
  free(text);
  fg_report_free(report);
}

static void test_csv_of_scalars(void **state) {
  (void)state;
  fg_report *report = fg_report_new();
  fg_node *result = fg_group(fg_report_root(report), "result", "Result", 0);
  fg_number(result, "velocity_m_s", "Velocity", FG_Q_SPEED, 1.25, 0);
  fg_number(result, "deck.length", "Length", FG_Q_LENGTH, 0.5, 0);
  fg_number(result, "nothing", "Nothing", FG_Q_NUMBER, NAN, 0);
  fg_boolean(result, "runs", "Runs", false, 0);
  fg_node *list = fg_list(result, "who", 0);
  fg_list_string(list, "+me");
  assert_rendered(report, FG_FORMAT_CSV,
                  "name,value,unit\nresult.velocity_m_s,1.25,m/s\nresult.deck.length,0.5,m\n"
                  "result.nothing,,\nresult.runs,false,\nresult.who.1,'+me,\n");
  fg_report_free(report);
}

static void test_wrong_use_is_reported(void **state) {
  (void)state;
  char *text = NULL;
  size_t length = 0;
  fg_report *report = fg_report_new();
  fg_node *table = fg_table(fg_report_root(report), "t", NULL, 0);
  fg_column(table, "a", "A", FG_Q_NUMBER, 0);
  fg_column(table, "b", "B", FG_Q_NUMBER, 0);
  fg_row(table);
  fg_cell(table, 1.0);
  assert_int_equal(fg_report_render(report, FG_FORMAT_TEXT, FG_UNITS_US, &text, &length),
                   FG_EDOMAIN);
  assert_null(text);
  fg_cell_text(table, "text in a column of numbers");
  assert_int_equal(fg_report_render(report, FG_FORMAT_JSON, FG_UNITS_US, &text, &length),
                   FG_EDOMAIN);
  fg_report_free(report);
  fg_number(NULL, "x", "X", FG_Q_NUMBER, 1.0, 0);
  fg_note(NULL, "nothing");
  fg_list_number(NULL, 1.0);
  assert_null(fg_report_root(NULL));
}

/* ---- files ---- */

static char folder[64];

static int make_folder(void **state) {
  (void)state;
  strcpy(folder, "/tmp/fg-report-XXXXXX");
  return mkdtemp(folder) ? 0 : -1;
}

static const char *in_folder(const char *name) {
  static char path[sizeof folder + 256];
  snprintf(path, sizeof path, "%s/%s", folder, name);
  return path;
}

/* Removes what is in the folder; returns how many entries there were. */
static size_t empty_folder(void) {
  size_t count = 0;
  DIR *dir = opendir(folder);
  assert_non_null(dir);
  for (struct dirent *entry; (entry = readdir(dir)) != NULL;) {
    if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0)
      continue;
    ++count;
    assert_int_equal(remove(in_folder(entry->d_name)), 0);
  }
  closedir(dir);
  return count;
}

static int remove_folder(void **state) {
  (void)state;
  empty_folder();
  return rmdir(folder);
}

static void assert_holds(const char *path, const char *expected) {
  char content[64] = "";
  FILE *file = fopen(path, "r");
  assert_non_null(file);
  size_t length = fread(content, 1, sizeof content - 1, file);
  (void)fclose(file);
  content[length] = '\0';
  assert_string_equal(content, expected);
}

static void write_text(const char *path, const char *text) {
  char message[256] = "";
  assert_int_equal(fg_write_file(path, text, strlen(text), message, sizeof message), FG_OK);
}

static void assert_refused(const char *path, const char *reason) {
  char message[256] = "";
  assert_int_equal(fg_write_file(path, "new", 3, message, sizeof message), FG_EIO);
  assert_non_null(strstr(message, reason));
}

static void test_new_and_old_files(void **state) {
  (void)state;
  struct stat status;
  write_text(in_folder("a"), "first, longer");
  assert_holds(in_folder("a"), "first, longer");
  assert_int_equal(chmod(in_folder("a"), 0640), 0);
  write_text(in_folder("a"), "second");
  assert_holds(in_folder("a"), "second");
  assert_int_equal(stat(in_folder("a"), &status), 0);
  assert_int_equal(status.st_mode & 07777, 0640);
  assert_int_equal(empty_folder(), 1);
}

static void test_links_survive(void **state) {
  (void)state;
  struct stat status;
  assert_int_equal(symlink("target", in_folder("link")), 0);
  write_text(in_folder("link"), "through");
  assert_int_equal(lstat(in_folder("link"), &status), 0);
  assert_true(S_ISLNK(status.st_mode));
  assert_holds(in_folder("target"), "through");
  write_text(in_folder("link"), "again");
  assert_holds(in_folder("target"), "again");
  assert_int_equal(empty_folder(), 2);
  assert_int_equal(symlink("loop", in_folder("loop")), 0);
  assert_refused(in_folder("loop"), "loop");
  assert_int_equal(empty_folder(), 1);
}

static void test_refusals(void **state) {
  (void)state;
  struct stat status;
  assert_refused("/dev/full", "no space left");
  assert_refused(folder, "it is a folder");
  assert_refused(in_folder("none/x"), "folder does not exist");
  assert_refused(in_folder("x/"), "it is a folder");
  assert_refused("", "empty");
  assert_refused("/dev/fd/999", "Bad file descriptor");
  write_text(in_folder("file"), "old");
  assert_refused(in_folder("file/x"), "not a folder");
  assert_int_equal(empty_folder(), 1);
  write_text("/dev/null", "gone");
  assert_int_equal(stat("/dev/null", &status), 0);
  assert_true(S_ISCHR(status.st_mode));
}

static void test_pipes_are_written_to(void **state) {
  (void)state;
  char text[8] = "";
  assert_int_equal(mkfifo(in_folder("pipe"), 0600), 0);
  int reader = open(in_folder("pipe"), O_RDONLY | O_NONBLOCK);
  assert_true(reader >= 0);
  write_text(in_folder("pipe"), "abc");
  assert_int_equal(read(reader, text, sizeof text - 1), 3);
  assert_string_equal(text, "abc");
  (void)close(reader);
  assert_int_equal(empty_folder(), 1);
}

/* Limits files to 10 bytes in a child, as a full disk would, and writes 1000. */
static int write_too_much(void (*on_excess)(int)) {
  static const char bytes[1000] = "x";
  pid_t child = fork();
  if (child == 0) {
    char message[256];
    struct rlimit limit = {10, 10};
    signal(SIGXFSZ, on_excess);
    setrlimit(RLIMIT_FSIZE, &limit);
    fg_status status = fg_write_file(in_folder("a"), bytes, sizeof bytes, message, sizeof message);
    _exit(status == FG_EIO ? 0 : 1);
  }
  int status = -1;
  assert_true(child > 0 && waitpid(child, &status, 0) == child);
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

static void abandon(int number) {
  (void)number;
  fg_write_abandon();
  _exit(7);
}

static void test_failure_leaves_the_old_file_alone(void **state) {
  (void)state;
  write_text(in_folder("a"), "old");
  assert_int_equal(write_too_much(SIG_IGN), 0);
  assert_holds(in_folder("a"), "old");
  assert_int_equal(write_too_much(abandon), 7);
  assert_holds(in_folder("a"), "old");
  fg_write_abandon();
  assert_holds(in_folder("a"), "old");
  assert_int_equal(empty_folder(), 1);
}

/* JSON is SI throughout: a customary name is refused in a group, a list and a table's column. */
static void test_json_is_si(void **state) {
  (void)state;
  static const char *const names[] = {"feed_yd3_h", "grade_g_yd3", "flow_cfm", "width_in"};
  for (size_t i = 0; i < 3 * sizeof names / sizeof names[0]; ++i) {
    const char *name = names[i / 3];
    char *text = NULL;
    size_t length = 0;
    fg_report *report = fg_report_new();
    fg_node *group = fg_group(fg_report_root(report), "total", NULL, 0);
    if (i % 3 == 0)
      fg_number(group, name, NULL, FG_Q_NUMBER, 1.0, 0);
    else if (i % 3 == 1)
      fg_list(group, name, 0);
    else
      fg_column(fg_table(group, "rows", NULL, 0), name, NULL, FG_Q_NUMBER, 0);
    assert_int_equal(fg_report_render(report, FG_FORMAT_JSON, FG_UNITS_US, &text, &length),
                     FG_EDOMAIN);
    assert_int_equal(fg_report_render(report, FG_FORMAT_CSV, FG_UNITS_US, &text, &length), FG_OK);
    free(text);
    fg_report_free(report);
  }
}

/* Each column takes the field it names, whatever the order of the struct. */
static void test_columns_name_their_field(void **state) {
  (void)state;
  typedef struct row {
    double depth_m;
    char place[8];
    double unused, feed_kg_s;
    const char *word;
  } row;
  static const fg_column_of columns[] = {
      {"word", NULL, FG_Q_NUMBER, FG_FIELD_TEXT, offsetof(row, word)},
      {"feed_kg_h", "feed", FG_Q_FEED, FG_FIELD_NUMBER, offsetof(row, feed_kg_s)},
      {"place", NULL, FG_Q_NUMBER, FG_FIELD_CHARS, offsetof(row, place)},
      {"depth_mm", NULL, FG_Q_LENGTH, FG_FIELD_NUMBER, offsetof(row, depth_m)}};
  static const row rows[] = {{0.25, "head", 7.0, 0.5, "one"}, {0.5, "tail", 7.0, NAN, "two"}};
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  FG_TABLE_OF(root, "t", NULL, FG_PRIMARY, columns, rows, 2);
  FG_LINES_OF(root, columns, &rows[0], NULL);
  assert_rendered(report, FG_FORMAT_CSV,
                  "word,feed_kg_h,place,depth_mm\none,1800.0,head,250.0\ntwo,,tail,500.0\n");
  char *json = render(report, FG_FORMAT_JSON);
  assert_non_null(strstr(json, "  \"word\": \"one\",\n  \"feed_kg_h\": 1800.0,\n"
                               "  \"place\": \"head\",\n  \"depth_mm\": 250.0\n"));
  free(json);
  fg_report_free(report);
}

/* A banded field is four columns, of which people see one or three, and one line with its band; a
 * figure without a band and what is not finite show no more than they know. */
static void test_fields_with_bands(void **state) {
  (void)state;
  typedef struct row {
    size_t riffles;
    fg_banded kept, gold;
  } row;
  static const fg_column_of columns[] = {
      {"riffles", "riffles", FG_Q_INTEGER, FG_FIELD_COUNT, offsetof(row, riffles)},
      {"kept", "kept", FG_Q_SHARE, FG_FIELD_BANDED, offsetof(row, kept)},
      {"gold_g", "gold", FG_Q_GOLD_MASS, FG_FIELD_SPREAD, offsetof(row, gold)}};
  static const row rows[] = {{12, {0.5, {0.25, 0.375, 0.75}}, {0.002, {NAN, NAN, NAN}}}};
  static const row low = {.kept = {.nominal = 0.125}, .gold = {.nominal = 0.001}},
                   mid = {.kept = {.nominal = 0.25}, .gold = {.nominal = 0.002}},
                   high = {.kept = {.nominal = 0.5}, .gold = {.nominal = 3e-3}};
  const void *const ends[3] = {&low, &mid, &high};
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  FG_TABLE_OF(root, "t", NULL, FG_PRIMARY, columns, rows, 1);
  FG_LINES_OF(fg_group(root, "own", "Own", 0), columns, &rows[0], NULL);
  FG_LINES_OF(fg_group(root, "by", "By ends", 0), columns, &rows[0], ends);
  assert_rendered(report, FG_FORMAT_CSV,
                  "riffles,kept,kept_low,kept_mid,kept_high,gold_g,gold_g_low,gold_g_mid,"
                  "gold_g_high\n12.0,0.5,0.25,0.375,0.75,2.0,,,\n");
  char *text = render(report, FG_FORMAT_TEXT);
  assert_non_null(strstr(text, "riffles  kept  gold  low  high"));
  assert_non_null(strstr(text, "kept ...... 38 % (25 to 75)\ngold ...... 2 g\n"));
  assert_non_null(strstr(text, "riffles ... 12\nkept ...... 25 % (12 to 50)\n"
                               "gold ...... 2 g (1 to 3)\n"));
  free(text);
  char *json = render(report, FG_FORMAT_JSON);
  assert_non_null(strstr(json, "\"riffles\": 12,\n    \"kept\": 0.5,\n    \"kept_low\": 0.125,"));
  free(json);
  fg_report_free(report);
}

/* ---- a figure outside its own band ---- */

static char *outside(double nominal, double stall_share, bool weighed) {
  const fg_banded kept = {nominal, {0.41, 0.6, 0.83}};
  fg_report *report = fg_report_new();
  fg_report_outside(fg_report_root(report), &kept, stall_share, weighed);
  char *text = render(report, FG_FORMAT_TEXT);
  fg_report_free(report);
  return text;
}

static void assert_outside(double nominal, double stall_share, bool weighed, const char *says,
                           const char *lacks) {
  char *text = outside(nominal, stall_share, weighed);
  assert_non_null(strstr(text, says));
  assert_null(strstr(text, lacks));
  free(text);
}

static void test_why_a_figure_lies_outside_its_band(void **state) {
  (void)state;
  assert_outside(0.366, 0.48, false, "keeps 36.6 %, less", "near one end");
  assert_outside(0.366, 0.48, false, "the 48 % of the runs that", "fits other inputs");
  assert_outside(0.366, 0.05, false, "near one end", "that stall");
  assert_outside(0.9, 0.48, false, "keeps 90 %, more", "that stall");
  assert_outside(0.9, 0.0, true, "fits other inputs", "near one end");
  static const double within[] = {0.41, 0.6, 0.83, NAN};
  for (size_t i = 0; i < 4; ++i) {
    char *text = outside(within[i], 0.48, true);
    assert_string_equal(text, "");
    free(text);
  }
}

/* ---- the answer first ---- */

/* A page with an answer, a table that shows it, and more. */
static fg_report *page_with_answer(void) {
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  fg_node *answer = fg_answer(root);
  fg_note(answer, "Keeps six of ten.");
  fg_note(answer, "Feed slower.");
  fg_node *head = fg_group(root, "state", "The state", 0);
  fg_number(head, "depth_m", "Depth", FG_Q_LENGTH, 0.0254, 0);
  fg_node *table = fg_table(root, "gold", "Gold", FG_PROOF);
  fg_column(table, "kept", "kept", FG_Q_SHARE, 0);
  fg_column(table, "stuck", "stuck", FG_Q_SHARE, 0);
  fg_short_columns(table, "kept");
  fg_row(table);
  fg_cell(table, 0.5);
  fg_cell(table, 0.25);
  fg_note(fg_group(root, NULL, NULL, FG_TEXT_ONLY | FG_SHORT_ONLY), "More: ask.");
  return report;
}

static void assert_page(fg_report *report, fg_format format, const char *expected) {
  assert_rendered(report, format, expected);
  fg_report_free(report);
}

static void test_the_answer_comes_first(void **state) {
  (void)state;
  assert_page(page_with_answer(), FG_FORMAT_TEXT,
              "Keeps six of ten.\nFeed slower.\n\nGold\nkept\n   %\n----\n  50\n\nMore: ask.\n");
  fg_report *full = page_with_answer();
  fg_report_full(full, true);
  assert_page(full, FG_FORMAT_TEXT,
              "Keeps six of ten.\nFeed slower.\n\nThe state\n=========\nDepth ... 1 in\n\nGold\n"
              "kept  stuck\n   %      %\n-----------\n  50     25\n");
}

/* Data are whole, whatever people are shown. */
static void test_data_hold_all(void **state) {
  (void)state;
  assert_page(page_with_answer(), FG_FORMAT_JSON,
              "{\n  \"state\": {\n    \"depth_m\": 0.0254\n  },\n  \"gold\": [\n"
              "    {\n      \"kept\": 0.5,\n      \"stuck\": 0.25\n    }\n  ]\n}\n");
}

/* Columns of a terminal that is `columns` wide. */
static int on_terminal(unsigned short columns, const char *wish) {
  const struct winsize window = {.ws_row = 24, .ws_col = columns};
  const int master = posix_openpt(O_RDWR | O_NOCTTY);
  assert_true(master >= 0);
  assert_int_equal(grantpt(master) + unlockpt(master), 0);
  const int terminal = open(ptsname(master), O_RDWR | O_NOCTTY);
  assert_true(terminal >= 0);
  assert_int_equal(ioctl(terminal, TIOCSWINSZ, &window), 0);
  assert_int_equal(wish ? setenv("COLUMNS", wish, 1) : unsetenv("COLUMNS"), 0);
  const int found = fg_screen_columns(terminal);
  (void)close(terminal);
  (void)close(master);
  return found;
}

static void test_width_follows_the_terminal(void **state) {
  (void)state;
  assert_int_equal(on_terminal(80, NULL), 80);
  assert_int_equal(on_terminal(80, "64"), 64);
  assert_int_equal(on_terminal(80, "wide"), 80);
  assert_int_equal(on_terminal(20, NULL), 40);
  assert_int_equal(on_terminal(300, NULL), 100);
  assert_int_equal(on_terminal(0, NULL), 72);
  int ends[2];
  assert_int_equal(pipe(ends), 0);
  assert_int_equal(setenv("COLUMNS", "90", 1), 0);
  assert_int_equal(fg_screen_columns(ends[1]), 72);
  assert_int_equal(unsetenv("COLUMNS"), 0);
  (void)close(ends[0]);
  (void)close(ends[1]);
}

/* A page laid out for a width gets no wider, a form no narrower. */
static void test_pages_keep_their_layout(void **state) {
  (void)state;
  static const struct {
    int own, screen;
    const char *expected;
  } cases[] = {{0, 40, "1234567890 1234567890 1234567890\n1234567890\n"},
               {0, 100, "1234567890 1234567890 1234567890 1234567890\n"},
               {25, 100, "1234567890 1234567890\n1234567890 1234567890\n"},
               {400, 40, "1234567890 1234567890 1234567890 1234567890\n"}};
  for (size_t i = 0; i < sizeof cases / sizeof cases[0]; ++i) {
    fg_report *report = fg_report_new();
    if (cases[i].own > 0)
      fg_report_columns(report, cases[i].own);
    fg_report_fit(report, cases[i].screen);
    fg_note(fg_report_root(report), "1234567890 1234567890 1234567890 1234567890");
    assert_page(report, FG_FORMAT_TEXT, cases[i].expected);
  }
}

/* ---- figures as they are said ---- */

static void assert_said(fg_quantity q, fg_unit_system units, double si, const char *expected) {
  char buffer[128];
  assert_string_equal(fg_said(q, units, si, buffer, sizeof buffer), expected);
}

/* Two significant digits; 128 fluid ounces a gallon (NIST SP 811); openings of ASTM E11. */
static void test_figures_as_they_are_said(void **state) {
  (void)state;
  assert_said(FG_Q_SHARE, FG_UNITS_US, 0.6234, "62 %");
  assert_said(FG_Q_SHARE, FG_UNITS_US, 0.0436, "4.4 %");
  assert_said(FG_Q_SHARE, FG_UNITS_US, 0.9991, ">99 %");
  assert_said(FG_Q_SHARE, FG_UNITS_US, 1.0, "100 %");
  assert_said(FG_Q_SHARE, FG_UNITS_US, 0.0002, "<0.1 %");
  assert_said(FG_Q_SHARE, FG_UNITS_US, 0.0, "0 %");
  assert_said(FG_Q_FREQUENCY, FG_UNITS_US, 2387.0 / 60.0, "2400 rpm");
  assert_said(FG_Q_MINUTES, FG_UNITS_US, 35.23 * 60.0, "35 min");
  assert_said(FG_Q_HOURS, FG_UNITS_US, 0.0467 * 3600.0, "2.8 min");
  assert_said(FG_Q_HOURS, FG_UNITS_US, 5.0 * 3600.0, "5 h");
  assert_said(FG_Q_TIME, FG_UNITS_SI, 8.08, "8.1 s");
  assert_said(FG_Q_VOLUME, FG_UNITS_US, 0.0148 * 3.785411784e-3, "1.9 fl oz");
  assert_said(FG_Q_VOLUME, FG_UNITS_US, 2.0 * 3.785411784e-3, "2 gal");
  assert_said(FG_Q_VOLUME, FG_UNITS_SI, 5.6e-5, "56 ml");
  assert_said(FG_Q_GRAIN_SIZE, FG_UNITS_US, 150e-6, "100 mesh (0.15 mm)");
  assert_said(FG_Q_GRAIN_SIZE, FG_UNITS_US, 157e-6, "95 mesh (0.16 mm)");
  assert_said(FG_Q_GRAIN_SIZE, FG_UNITS_SI, 157e-6, "0.16 mm");
  assert_said(FG_Q_GOLD_MASS, FG_UNITS_US, 0.7349e-3, "730 mg");
  assert_said(FG_Q_GOLD_MASS, FG_UNITS_US, 1.04e-3, "1 g");
  assert_said(FG_Q_TEMPERATURE, FG_UNITS_US, 313.15, "104 F");
  assert_said(FG_Q_MASS_RATE, FG_UNITS_US, 2005.0 * 0.45359237 / 3600.0, "2000 lb/h");
  assert_said(FG_Q_SHARE, FG_UNITS_US, NAN, "unknown");
}

static void test_bands_as_they_are_said(void **state) {
  (void)state;
  char text[128];
  const fg_banded kept = {0.74, {0.32, 0.62, 0.901}};
  const fg_banded alone = {0.74, {NAN, NAN, NAN}};
  const fg_banded size = {0.15e-3, {75e-6, 150e-6, 300e-6}};
  const fg_banded gain = {0.1, {-0.004, 0.06, 0.12}};
  assert_string_equal(fg_said_banded(FG_Q_SHARE, FG_UNITS_US, &kept, text, sizeof text),
                      "62 % (32 to 90)");
  assert_string_equal(fg_said_banded(FG_Q_SHARE, FG_UNITS_US, &alone, text, sizeof text), "74 %");
  assert_string_equal(fg_said_banded(FG_Q_GRAIN_SIZE, FG_UNITS_US, &size, text, sizeof text),
                      "100 mesh (0.15 mm) (50 to 200 mesh)");
  assert_string_equal(fg_said_change("%", 100.0, &gain, text, sizeof text), "+6 % (-0.4 to +12)");
  assert_string_equal(fg_said_change("%", 100.0, &alone, text, sizeof text), "+74 %");
}

/* What was typed in keeps its digits; a number without a unit may be a count and does, too. */
static void test_typed_figures_stay_exact(void **state) {
  (void)state;
  const struct row { double given, found; } row = {0.3389, 0.3389};
  static const fg_column_of lines[] = {
      {"given_m", "given", FG_Q_DISTANCE, FG_FIELD_GIVEN, offsetof(struct row, given)},
      {"found_m", "found", FG_Q_DISTANCE, FG_FIELD_NUMBER, offsetof(struct row, found)}};
  fg_report *report = fg_report_new();
  fg_node *root = fg_report_root(report);
  FG_LINES_OF(fg_group(root, NULL, NULL, 0), lines, &row, NULL);
  fg_number(root, "days", "days", FG_Q_NUMBER, 365.0, 0);
  FG_TABLE_OF(root, "t", NULL, 0, lines, &row, 1);
  assert_page(report, FG_FORMAT_TEXT,
              "given ... 1.11 ft\nfound ... 1.1 ft\ndays ... 365\n\n"
              "given  found\n   ft     ft\n------------\n 1.11    1.1\n");
}

/* A narrow screen folds between words; what does not fit goes into a block of its own. */
static void test_no_word_is_broken(void **state) {
  (void)state;
  fg_report *report = fg_report_new();
  fg_report_fit(report, 40);
  fg_node *table = fg_table(fg_report_root(report), "t", NULL, 0);
  fg_column_text(table, "key", "input", 0);
  fg_column_text(table, "why", "why it is so", 0);
  fg_column_text(table, "how", "how to find out", 0);
  fg_row(table);
  fg_cell_text(table, "friction_static");
  fg_cell_text(table, "tilted until it slips");
  fg_cell_text(table, "angle of repose");
  char *text = render(report, FG_FORMAT_TEXT);
  static const char *const words[] = {"friction_static", "tilted", "until", "slips",
                                      "angle",           "repose", "find"};
  assert_columns(text, 40);
  for (size_t i = 0; i < sizeof words / sizeof words[0]; ++i)
    assert_non_null(strstr(text, words[i]));
  free(text);
  fg_report_free(report);
}

int main(void) {
  static const struct CMUnitTest tests[] = {
      cmocka_unit_test(test_no_word_is_broken),
      cmocka_unit_test(test_typed_figures_stay_exact),
      cmocka_unit_test(test_figures_as_they_are_said),
      cmocka_unit_test(test_bands_as_they_are_said),
      cmocka_unit_test(test_the_answer_comes_first),
      cmocka_unit_test(test_data_hold_all),
      cmocka_unit_test(test_width_follows_the_terminal),
      cmocka_unit_test(test_pages_keep_their_layout),
      cmocka_unit_test(test_why_a_figure_lies_outside_its_band),
      cmocka_unit_test(test_units_agree_with_published_factors),
      cmocka_unit_test(test_every_kind_has_a_row),
      cmocka_unit_test(test_texts_for_people),
      cmocka_unit_test(test_short_buffers_are_terminated),
      cmocka_unit_test(test_numbers_for_people),
      cmocka_unit_test(test_endings_carry_units),
      cmocka_unit_test(test_text_layout),
      cmocka_unit_test(test_wrapping_counts_characters),
      cmocka_unit_test(test_terminal_commands_are_defused),
      cmocka_unit_test(test_table_text),
      cmocka_unit_test(test_wide_tables_are_tightened),
      cmocka_unit_test(test_json),
      cmocka_unit_test(test_json_is_si),
      cmocka_unit_test(test_columns_name_their_field),
      cmocka_unit_test(test_fields_with_bands),
      cmocka_unit_test(test_csv_of_tables),
      cmocka_unit_test(test_csv_of_scalars),
      cmocka_unit_test(test_wrong_use_is_reported),
      cmocka_unit_test_setup_teardown(test_new_and_old_files, make_folder, remove_folder),
      cmocka_unit_test_setup_teardown(test_links_survive, make_folder, remove_folder),
      cmocka_unit_test_setup_teardown(test_refusals, make_folder, remove_folder),
      cmocka_unit_test_setup_teardown(test_pipes_are_written_to, make_folder, remove_folder),
      cmocka_unit_test_setup_teardown(test_failure_leaves_the_old_file_alone, make_folder,
                                      remove_folder),
  };
  return FG_RUN_GROUP(tests);
}
