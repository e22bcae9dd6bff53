/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The table of pictures, and what all of them share. */
#include <ctype.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "core/nearest.h"
#include "core/text.h"
#include "pages/plot_internal.h"
#include "study/map.h"
#include "study/tune_table.h"

const fg_picture fg_pictures[] = {
    {"loss", "Gold kept and lost, by size", true, false, fg_plot_fill_loss},
    {"settling", "How fast grains fall in still air", false, false, fg_plot_fill_settling},
    {"riffles", "Where the gold is held, by size", true, false, fg_plot_fill_riffles},
    {"operating", "Blower against box", false, false, fg_plot_fill_operating},
    {"deck", "Where the gold is in the moving bed", true, true, fg_plot_fill_deck},
    {"cleanup", "When to clean the riffles", true, false, fg_plot_fill_cleanup},
    {"blowers", "Blowers on this deck, each at its best", false, false, fg_plot_fill_blowers},
    {"map", "Gold kept over two knobs", false, false, fg_plot_fill_map},
    {"settings", "What to set for the ground", false, false, fg_plot_fill_settings},
    {"drying", "How the ground dries", false, false, NULL},
};
const size_t fg_pictures_count = sizeof fg_pictures / sizeof fg_pictures[0];

enum { PICTURES_MAX = 32, PLACE_COLUMNS = 40, TEXT = 64 };

const fg_picture *fg_picture_find(const char *name) {
  for (size_t i = 0; i < fg_pictures_count; ++i)
    if (strcmp(fg_pictures[i].name, name) == 0)
      return &fg_pictures[i];
  return NULL;
}

const char *fg_picture_nearest(const char *name) {
  const char *names[PICTURES_MAX + 1] = {NULL};
  for (size_t i = 0; i < fg_pictures_count && i < PICTURES_MAX; ++i)
    names[i] = fg_pictures[i].name;
  return fg_nearest(name, names);
}

/* The place's name on one line and not too long for the picture. */
static void add_place(fg_text *text, const char *name) {
  fg_text clean = {0};
  fg_text_add_valid(&clean, name);
  size_t length = 0;
  char *bytes = fg_text_take(&clean, &length);
  if (!bytes) {
    text->failed = true;
    return;
  }
  size_t used = 0;
  while (used < length && fg_text_width(bytes, used) < PLACE_COLUMNS) {
    size_t step = fg_utf8_length(bytes + used);
    unsigned char first = (unsigned char)bytes[used];
    bool c1 = first == 0xC2 && (unsigned char)bytes[used + 1] < 0xA0;
    if (first < 0x20 || first == 0x7F || c1)
      fg_text_add(text, " ");
    else
      fg_text_add_bytes(text, bytes + used, step);
    used += step;
  }
  if (used < length)
    fg_text_add(text, "...");
  free(bytes);
}

/* The place and what the picture adds, then the settings that matter most. */
static char *make_subtitle(const fg_plot_case *c) {
  const fg_scenario *s = c->scenario;
  fg_text text = {0};
  char feed[TEXT];
  char throttle[TEXT];
  char gate[TEXT];
  char moisture[TEXT];
  (void)fg_quantity_text(FG_Q_FEED, c->units, s->run.feed, feed, sizeof feed);
  (void)fg_quantity_text(FG_Q_SHARE, c->units, s->run.throttle, throttle, sizeof throttle);
  (void)fg_quantity_text(FG_Q_SHARE, c->units, s->run.gate_opening, gate, sizeof gate);
  (void)fg_quantity_text(FG_Q_PERCENT, c->units, s->ground.moisture, moisture, sizeof moisture);
  if (s->site.name[0] != '\0') {
    add_place(&text, s->site.name);
    fg_text_printf(&text, ": %s\n", c->note);
  } else {
    fg_text_printf(&text, "%c%s\n", toupper((unsigned char)c->note[0]), c->note + 1);
  }
  if (c->settings[0] != '\0') {
    fg_text_printf(&text, "%s", c->settings);
    return fg_text_take(&text, NULL);
  }
  fg_text_printf(&text, "Feed %s, throttle %s, gate %s open, moisture %s. Model%s", feed, throttle,
                 gate, moisture,
                 c->machine->stalled ? ", unproven: the deck STALLS." : " result, unproven.");
  return fg_text_take(&text, NULL);
}

static fg_status render(const fg_picture *picture, fg_plot_case *c, fg_plot *plot) {
  fg_report *report = fg_report_new();
  fg_node *table = fg_table(fg_report_root(report), picture->name, NULL, FG_PRIMARY);
  c->note[0] = '\0';
  c->settings[0] = '\0';
  const fg_status status = picture->fill(c, table);
  if (status == FG_OK)
    return fg_plot_of(report, c->units, picture->title, make_subtitle(c), plot);
  fg_report_free(report);
  return status;
}

/* The middle of the class of which nearest to half is kept; NaN when none passes the screen. */
static double telling_size(const fg_loss *loss) {
  double size = NAN;
  double least = 2.0;
  for (size_t i = 0; i < loss->gold_count; ++i) {
    const fg_class_loss *gold = &loss->gold[i];
    double off = fabs(gold->kept - 0.5);
    if (gold->passing >= 1.0 && off < least) {
      least = off;
      size = gold->size_m;
    }
  }
  return size;
}

static fg_status make_running(const fg_picture *picture, fg_plot_case c, fg_plot *plot) {
  fg_loss loss;
  fg_status status = fg_loss_run(c.scenario, NULL, &loss);
  if (status != FG_OK && status != FG_ESTALL)
    return status;
  c.loss = &loss;
  c.machine = &loss.machine;
  if (picture->sized && isnan(c.size_m) && status == FG_OK)
    c.size_m = telling_size(&loss);
  if (status == FG_OK)
    status = render(picture, &c, plot);
  fg_loss_free(&loss);
  return status;
}

static fg_status make_case(const fg_picture *picture, fg_plot_case c, fg_plot *plot) {
  if (!picture->fill)
    return FG_EDOMAIN;
  if (picture->running)
    return make_running(picture, c, plot);
  fg_machine machine;
  fg_status status = fg_machine_solve(c.scenario, &machine);
  c.machine = &machine;
  return status == FG_OK ? render(picture, &c, plot) : status;
}

fg_status fg_plot_make(const fg_picture *picture, const fg_scenario *scenario, fg_unit_system units,
                       double size_m, fg_plot *plot) {
  return make_case(picture, (fg_plot_case){.scenario = scenario, .units = units, .size_m = size_m},
                   plot);
}

fg_status fg_plot_make_map(const fg_scenario *scenario, fg_unit_system units,
                           const fg_map_choice *choice, fg_plot *plot) {
  const fg_plot_case c = {.scenario = scenario, .units = units, .size_m = NAN, .map = choice};
  return make_case(fg_picture_find("map"), c, plot);
}

fg_status fg_plot_make_settings(const fg_scenario *scenario, fg_unit_system units,
                                const fg_tune_cell *own, const fg_tune_cell *cells, size_t count,
                                fg_plot *plot) {
  const fg_plot_case c = {.scenario = scenario,
                          .units = units,
                          .size_m = NAN,
                          .own = own,
                          .cells = cells,
                          .cell_count = count};
  return make_case(fg_picture_find("settings"), c, plot);
}
