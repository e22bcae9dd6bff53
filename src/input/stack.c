/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "input/stack.h"

#include <math.h>
#include <stdio.h>
#include <string.h>

#include "core/faults.h"
#include "flourgold/quantity.h"
#include "flourgold/status.h"
#include "model/household.h"

static const double sum_tolerance = 0.02;
static const double most_amount = 1e4; /* kg, or a share */
static const double finest_m = 1e-6, coarsest_m = 0.2;

/* A weight or a share; *weighed tells which. */
static fg_status read_amount(const char *text, double *amount, int *weighed, char *message,
                             size_t size) {
  char other[320];
  *weighed = 0;
  if (fg_quantity_parse(text, FG_Q_SHARE, amount, NULL, other, sizeof other) == FG_OK)
    return FG_OK;
  *weighed = 1;
  return fg_quantity_parse(text, FG_Q_MASS, amount, NULL, message, size);
}

static fg_status add_part(fg_stack *s, double opening, double amount, char *message, size_t size) {
  const double above = s->count > 0 ? s->parts[s->count - 1].opening_m : 0.0;
  if (s->pan)
    snprintf(message, size, "nothing lies below the pan; write it last");
  else if (s->count > 0 && opening >= above)
    snprintf(message, size,
             "sieves out of order: %.4g mm does not lie below %.4g mm; write them coarse to fine",
             1e3 * opening, 1e3 * above);
  else if (s->count == FG_SIEVES_MAX - 1 && opening > 0.0)
    snprintf(message, size, "at most %d sieves and the pan", FG_SIEVES_MAX - 1);
  else {
    s->parts[s->count++] = (fg_sieve_part){opening, amount};
    s->pan = opening <= 0.0;
    return FG_OK;
  }
  return FG_ESCENARIO;
}

static fg_status check_amount(const fg_stack *s, double amount, int weighed, char *message,
                              size_t size) {
  if (amount < 0.0)
    snprintf(message, size, "a weight cannot be negative");
  else if (amount > most_amount)
    snprintf(message, size, "nobody sieves that much: a weight is too large");
  else if (s->weighed >= 0 && s->weighed != weighed)
    snprintf(message, size, "weights and shares are mixed; give all as one or the other");
  else
    return FG_OK;
  return FG_ESCENARIO;
}

fg_status fg_stack_add(fg_stack *s, const char *opening, const char *amount, char *message,
                       size_t size) {
  const bool pan = strcmp(opening, "pan") == 0, all = strcmp(opening, "all") == 0;
  double size_m = 0.0, value = 0.0;
  int weighed = 0;
  fg_status status = FG_OK;
  if (!pan && !all)
    status = fg_quantity_parse(opening, FG_Q_GRAIN_SIZE, &size_m, NULL, message, size);
  if (status == FG_OK && !pan && !all && !(size_m >= finest_m && size_m <= coarsest_m)) {
    snprintf(message, size, "sieves go from %.4g mm to %.4g mm", 1e3 * finest_m, 1e3 * coarsest_m);
    status = FG_ESCENARIO;
  }
  if (status == FG_OK)
    status = read_amount(amount, &value, &weighed, message, size);
  if (status == FG_OK)
    status = check_amount(s, value, weighed, message, size);
  if (status == FG_OK && all && (s->whole || value <= 0.0)) {
    snprintf(message, size,
             s->whole ? "\"all\" is written twice"
                      : "\"all\" is what was sieved: it cannot be zero");
    status = FG_ESCENARIO;
  }
  if (status == FG_OK && !all)
    status = add_part(s, size_m, value, message, size);
  if (status != FG_OK)
    return status;
  s->weighed = weighed;
  if (all) {
    s->whole = true;
    s->all = value;
  }
  return FG_OK;
}

fg_status fg_stack_finish(fg_stack *s, char *message, size_t size) {
  double sum = 0.0;
  for (size_t i = 0; i < s->count; ++i)
    sum += s->parts[i].share;
  const double all = s->whole ? s->all : s->weighed == 0 ? 1.0 : sum;
  const double scale = s->weighed == 1 ? 1e3 : 100.0;
  const char *unit = s->weighed == 1 ? "g" : "%";
  if (!s->pan || s->count < 2)
    snprintf(message, size, "at least one sieve, and last what fell into the pan: (\"pan\", ...)");
  else if (!(sum > 0.0))
    snprintf(message, size, "nothing was sieved: all weights are zero");
  else if (fabs(sum - all) > sum_tolerance * all * (1.0 + 1e-9))
    snprintf(message, size,
             "what stayed on the sieves and in the pan adds up to %.4g %s of %.4g %s; that is off "
             "by more than 2 %%, so a weight is wrong or missing",
             scale * sum, unit, scale * all, unit);
  else if (s->parts[0].share >= sum * (1.0 - 1e-9) ||
           s->parts[s->count - 1].share >= sum * (1.0 - 1e-9))
    snprintf(message, size,
             "everything lies on one side of all sieves; take sieves that part the gravel");
  else {
    for (size_t i = 0; i < s->count; ++i)
      s->parts[i].share /= sum;
    return FG_OK;
  }
  return FG_ESCENARIO;
}

fg_status fg_stack_sizes(const fg_stack *stack, double usual_spread, fg_sizes *sizes) {
  fg_sizes_of_parts(stack->parts, stack->count, sizes);
  return fg_sizes_fit(sizes, usual_spread);
}
