/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_TEST_JSON_SELECT_H
#define FG_TEST_JSON_SELECT_H

#include <stdbool.h>
#include <stddef.h>

#include <jansson.h>

/* The nodes a path leads to, in order.  A path is keys and indices: `state.support`,
 * `gold[0].kept`, `gold[-1].kept` (the last), `gold[*].kept` (each), `effective."deck.length"`
 * (quotes around a key that holds dots); `.` alone is the whole document. */
typedef struct fgt_selection {
  json_t **nodes; /* belong to the document */
  size_t count;
  const char *missing; /* NULL, or why at least one branch led nowhere */
  bool malformed;      /* the path itself cannot be read */
} fgt_selection;

fgt_selection fgt_json_select(json_t *root, const char *path);

/* The finite numbers of a selection; one array stands for its elements.  False, with the
 * reason, when a branch is missing, there is none, or one is not a number. */
bool fgt_json_numbers(const fgt_selection *selection, double **values, size_t *count,
                      const char **reason);

/* For each selected node the sum of its `fields` ("a+b+c", each a path below the node). */
bool fgt_json_field_sums(const fgt_selection *selection, const char *fields, double **values,
                         size_t *count, const char **reason);

/* A node as short text for messages. */
const char *fgt_json_show(const json_t *node);

#endif
