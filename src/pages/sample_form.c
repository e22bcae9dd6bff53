/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The field form: blank, to print or as a CSV file. */
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "core/text.h"
#include "pages/sample_report.h"

enum { PAGE_ROWS = 12, STATION_WIDTH = 11, COLUMN_WIDTH = 5 };

static const char *gravel_unit(fg_unit_system units) { return units == FG_UNITS_SI ? "l" : "gal"; }

char *fg_sample_form_csv(const fg_scenario *scenario, fg_unit_system units) {
  fg_count_column columns[FG_COUNT_COLUMNS_MAX];
  const size_t count = fg_count_columns_for(scenario->sample.visible_size, columns);
  char name[48];
  fg_text text = {0};
  fg_text_printf(&text, "station,bucket,gravel [%s]", gravel_unit(units));
  for (size_t i = 0; i < count; ++i)
    fg_text_printf(&text, ",%s", fg_count_column_name(&columns[i], name, sizeof name));
  fg_text_add(&text, ",gold [mg]\n");
  for (int row = 1; row <= scenario->sample.most_buckets; ++row) {
    fg_text_printf(&text, ",%d,", row);
    fg_text_add_repeated(&text, ',', count);
    fg_text_add(&text, ",\n");
  }
  return fg_text_take(&text, NULL);
}

static void cell(fg_text *text, const char *content, int width) {
  fg_text_printf(text, " %-*.*s", width, width, content);
}

/* Two lines of headings: "20 to" over "40". */
static void headings(fg_text *text, const fg_count_column *columns, size_t count,
                     fg_unit_system units) {
  char name[48], unit[16];
  fg_text_printf(text, "%-*s", STATION_WIDTH, "station");
  cell(text, "bucket", 6);
  cell(text, "gravel", 6);
  for (size_t i = 0; i < count; ++i) {
    (void)fg_count_column_name(&columns[i], name, sizeof name);
    char *space = strrchr(name, ' ');
    if (space)
      *space = '\0';
    cell(text, name, COLUMN_WIDTH);
  }
  fg_text_add(text, " gold");
  (void)snprintf(unit, sizeof unit, "[%s]", gravel_unit(units));
  fg_text_printf(text, "\n%-*s", STATION_WIDTH, "");
  cell(text, "", 6);
  cell(text, unit, 6);
  for (size_t i = 0; i < count; ++i) {
    const char *space = strrchr(fg_count_column_name(&columns[i], name, sizeof name), ' ');
    cell(text, space ? space + 1 : "", COLUMN_WIDTH);
  }
  fg_text_add(text, " [mg]\n");
}

static void blank_row(fg_text *text, size_t count) {
  fg_text_add_repeated(text, '_', STATION_WIDTH);
  for (size_t i = 0; i < 2; ++i) {
    fg_text_add(text, " ");
    fg_text_add_repeated(text, '_', 6);
  }
  for (size_t i = 0; i <= count; ++i) {
    fg_text_add(text, " ");
    fg_text_add_repeated(text, '_', COLUMN_WIDTH);
  }
  fg_text_add(text, "\n");
}

char *fg_sample_form_page(const fg_scenario *scenario, fg_unit_system units) {
  fg_count_column columns[FG_COUNT_COLUMNS_MAX];
  const size_t count = fg_count_columns_for(scenario->sample.visible_size, columns);
  char number[32];
  fg_text text = {0};
  headings(&text, columns, count, units);
  fg_text_printf(&text, "%-*s", STATION_WIDTH + 14, "mg a colour:");
  for (size_t i = 0; i < count; ++i)
    fg_text_printf(
        &text, " %-*s", i + 1 < count ? COLUMN_WIDTH : 0,
        fg_number_text(1e6 * fg_sample_colour_kg(scenario, columns[i].lower_m, columns[i].upper_m),
                       2, number, sizeof number));
  fg_text_add(&text, "\n");
  for (int row = 0; row < PAGE_ROWS; ++row)
    blank_row(&text, count);
  return fg_text_take(&text, NULL);
}
