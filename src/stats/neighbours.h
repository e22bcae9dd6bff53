/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_SITE_NEIGHBOURS_H
#define FLOURGOLD_SITE_NEIGHBOURS_H

#include <stddef.h>

#include "flourgold/status.h"

/* Nearest points in the plane, by a k-d tree. */
typedef struct fg_neighbours fg_neighbours;

/* `points` holds x and y of each of `count` points; it must outlive the tree. */
fg_status fg_neighbours_new(const double (*points)[2], size_t count, fg_neighbours **tree);
void fg_neighbours_free(fg_neighbours *tree);

/* All indices, so ordered that points in a row of them mostly lie near each other. */
const size_t *fg_neighbours_order(const fg_neighbours *tree);

/* Indices of the up to `most` points nearest to (x, y), nearest first, ties by index, without
 * point `skip` (SIZE_MAX: none), and their squared distances.  Returns how many. */
size_t fg_neighbours_find(const fg_neighbours *tree, double x, double y, size_t most, size_t skip,
                          size_t *indices, double *squares);

#endif
