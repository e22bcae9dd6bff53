/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Picture "deck": concentration of one gold size over depth and along the deck. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "model/deck.h"
#include "pages/plot_internal.h"

enum { COLUMNS = 160 };

typedef struct deck_points {
  double *x, *z, *value;
  size_t count, capacity;
  bool failed;
} deck_points;

static bool grow(deck_points *points) {
  size_t capacity = points->capacity > 0 ? 2 * points->capacity : 8192;
  double **const arrays[] = {&points->x, &points->z, &points->value};
  for (size_t i = 0; i < sizeof arrays / sizeof arrays[0]; ++i) {
    double *grown = realloc(*arrays[i], capacity * sizeof **arrays[i]);
    if (!grown)
      return false;
    *arrays[i] = grown;
  }
  points->capacity = capacity;
  return true;
}

static void keep_point(double x_m, double z_m, double concentration, void *context) {
  deck_points *points = context;
  if (points->failed || (points->count == points->capacity && !grow(points))) {
    points->failed = true;
    return;
  }
  points->x[points->count] = x_m;
  points->z[points->count] = z_m;
  points->value[points->count++] = concentration;
}

static void free_points(deck_points *points) {
  free(points->x);
  free(points->z);
  free(points->value);
}

/* Points of the first profile: as many as there are layers.  There is at least one point. */
static size_t layers_of(const deck_points *points) {
  size_t layers = 1;
  while (layers < points->count && points->x[layers] == points->x[0])
    ++layers;
  return layers;
}

static void add_point(fg_node *table, const char *part, double x, double z, double value) {
  fg_row(table);
  fg_cell_text(table, part);
  fg_cell(table, x);
  fg_cell(table, z);
  fg_cell(table, value);
}

/* The steps of the open and the quiet strips differ; an even grid is drawn, each column from
 * the profiles to its left and right. */
static void add_bed(fg_node *table, const deck_points *points, double length) {
  size_t layers = layers_of(points);
  size_t profiles = points->count / layers;
  size_t left = 0;
  for (int i = 0; i < COLUMNS; ++i) {
    double x = length * (i + 0.5) / COLUMNS;
    while (left + 2 < profiles && points->x[(left + 1) * layers] <= x)
      ++left;
    size_t right = left + 1 < profiles ? left + 1 : left;
    double from = points->x[left * layers];
    double gap = points->x[right * layers] - from;
    double part = gap > 0.0 ? fmin(1.0, fmax(0.0, (x - from) / gap)) : 0.0;
    for (size_t j = 0; j < layers; ++j) {
      double a = points->value[left * layers + j];
      double b = points->value[right * layers + j];
      add_point(table, "bed", x, points->z[j], a + part * (b - a));
    }
  }
}

/* Where each riffle stands, and where the quiet strip before it begins. */
static void add_riffles(fg_node *table, const fg_scenario *s) {
  double pitch = s->deck.length / s->deck.riffles;
  for (int i = 0; i < s->deck.riffles; ++i) {
    double riffle = (i + 1) * pitch;
    add_point(table, "quiet strip", riffle - s->deck.dead_air_share * pitch, 0.0, NAN);
    add_point(table, "riffle", riffle, 0.0, NAN);
  }
}

fg_status fg_plot_fill_deck(fg_plot_case *c, fg_node *table) {
  deck_points points = {0};
  fg_status status = fg_loss_deck(c->scenario, c->size_m, keep_point, &points);
  if (status == FG_OK && points.failed)
    status = FG_EMEMORY;
  if (status == FG_OK && points.count == 0)
    status = FG_EDOMAIN;
  if (status == FG_OK) {
    char size[64];
    fg_column_text(table, "part", NULL, 0);
    fg_plot_column_in(table, c->units, "distance_in", "distance_mm");
    fg_plot_column_in(table, c->units, "height_in", "height_mm");
    fg_plot_column(table, "relative_concentration");
    add_bed(table, &points, c->scenario->deck.length);
    add_riffles(table, c->scenario);
    (void)fg_plot_size_text(c->size_m, size, sizeof size);
    (void)snprintf(c->note, sizeof c->note, "gold of %s, deck just cleaned", size);
  }
  free_points(&points);
  return status;
}
