/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "stats/neighbours.h"

#include <stdint.h>
#include <stdlib.h>

/* The tree is an order of the points: the middle of a stretch parts the rest of it, by x and y
 * in turn. */
struct fg_neighbours {
  const double (*points)[2];
  size_t count;
  size_t *order;
};

/* Moves the element that belongs at `middle` there, smaller ones before it (quickselect with
 * Hoare's partition; the pivot from the middle keeps sorted data quick). */
static void select_middle(const fg_neighbours *tree, size_t low, size_t high, size_t middle,
                          int axis) {
  size_t *order = tree->order;
  while (low < high) {
    const double pivot = tree->points[order[low + (high - low) / 2]][axis];
    size_t i = low;
    size_t j = high;
    for (;;) {
      while (tree->points[order[i]][axis] < pivot)
        ++i;
      while (tree->points[order[j]][axis] > pivot)
        --j;
      if (i >= j)
        break;
      const size_t kept = order[i];
      order[i++] = order[j];
      order[j--] = kept;
    }
    if (middle <= j)
      high = j;
    else
      low = j + 1;
  }
}

/* Orders the stretch [low, end). */
static void arrange(const fg_neighbours *tree, size_t low, size_t end, int axis) {
  if (end - low < 2)
    return;
  const size_t middle = low + (end - low) / 2;
  select_middle(tree, low, end - 1, middle, axis);
  arrange(tree, low, middle, 1 - axis);
  arrange(tree, middle + 1, end, 1 - axis);
}

fg_status fg_neighbours_new(const double (*points)[2], size_t count, fg_neighbours **tree) {
  fg_neighbours *made = malloc(sizeof *made);
  size_t *order = calloc(count + 1, sizeof *order);
  if (!made || !order) {
    free(made);
    free(order);
    return FG_EMEMORY;
  }
  for (size_t i = 0; i < count; ++i)
    order[i] = i;
  *made = (fg_neighbours){points, count, order};
  arrange(made, 0, count, 0);
  *tree = made;
  return FG_OK;
}

void fg_neighbours_free(fg_neighbours *tree) {
  if (!tree)
    return;
  free(tree->order);
  free(tree);
}

const size_t *fg_neighbours_order(const fg_neighbours *tree) { return tree->order; }

typedef struct search {
  const fg_neighbours *tree;
  double at[2];
  size_t most, skip;
  size_t found;
  size_t *indices;
  double *squares;
} search;

static void offer(search *s, size_t index) {
  const double dx = s->tree->points[index][0] - s->at[0];
  const double dy = s->tree->points[index][1] - s->at[1];
  const double square = dx * dx + dy * dy;
  size_t place = s->found;
  while (place > 0 && (square < s->squares[place - 1] ||
                       (square == s->squares[place - 1] && index < s->indices[place - 1])))
    --place;
  if (place >= s->most)
    return;
  if (s->found < s->most)
    ++s->found;
  for (size_t i = s->found - 1; i > place; --i) {
    s->indices[i] = s->indices[i - 1];
    s->squares[i] = s->squares[i - 1];
  }
  s->indices[place] = index;
  s->squares[place] = square;
}

static void visit(search *s, size_t low, size_t end, int axis) {
  if (low >= end)
    return;
  const size_t middle = low + (end - low) / 2;
  const size_t index = s->tree->order[middle];
  const double off = s->at[axis] - s->tree->points[index][axis];
  if (off < 0.0)
    visit(s, low, middle, 1 - axis);
  else
    visit(s, middle + 1, end, 1 - axis);
  if (index != s->skip)
    offer(s, index);
  if (s->found == s->most && off * off > s->squares[s->found - 1])
    return;
  if (off < 0.0)
    visit(s, middle + 1, end, 1 - axis);
  else
    visit(s, low, middle, 1 - axis);
}

size_t fg_neighbours_find(const fg_neighbours *tree, double x, double y, size_t most, size_t skip,
                          size_t *indices, double *squares) {
  search s = {.tree = tree,
              .at = {x, y},
              .most = most,
              .skip = skip,
              .indices = indices,
              .squares = squares};
  if (most > 0)
    visit(&s, 0, tree->count, 0);
  return s.found;
}
