/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_STACK_H
#define FLOURGOLD_STACK_H

#include <stdbool.h>
#include <stddef.h>

#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "physics/sizes.h"

/* A stack of sieves as it was weighed: what stayed on each, coarse to fine, the pan last. */
typedef struct fg_stack {
  fg_sieve_part parts[FG_SIEVES_MAX]; /* share: the weight as written, until finished */
  size_t count;
  bool pan;    /* the pan is in */
  bool whole;  /* `all` is given */
  double all;  /* weight of what was sieved */
  int weighed; /* 1: weights, 0: shares, -1: nothing yet; start from that */
} fg_stack;

/* Adds one weighing as written: opening "1/4 in", "60 mesh", "pan", or "all" for what was
 * sieved; amount a weight ("120 g") or a share ("12 %", "0.12").  FG_ESCENARIO with a sentence in
 * message[size]. */
fg_status fg_stack_add(fg_stack *stack, const char *opening, const char *amount, char *message,
                       size_t size);

/* Checks the whole (pan there; sum within 2 % of `all`, or shares of 100 %; something on
 * either side) and makes shares that add to 1.  FG_ESCENARIO with a sentence. */
fg_status fg_stack_finish(fg_stack *stack, char *message, size_t size);

/* The grain sizes of a finished stack, the log-normal fitted (usual_spread as for
 * fg_sizes_fit()). */
fg_status fg_stack_sizes(const fg_stack *stack, double usual_spread, fg_sizes *sizes);

#endif
