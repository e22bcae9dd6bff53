/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "study/leave_or_stay.h"

#include <math.h>
#include <stdlib.h>

/* Half of the threshold is poor enough to leave. */
static const double poor = 0.5;
/* Colours a bucket that one still counts gladly at the threshold (estimate). */
static const double handy = 25.0;
/* Sieves from 100 mesh upwards (ASTM E11). */
static const double sieves_m[] = {150e-6, 212e-6, 300e-6, 425e-6, 600e-6, 850e-6, 1.18e-3, 2e-3};
enum { SIEVES = sizeof sieves_m / sizeof sieves_m[0] };

/* ln of the sum of exp. */
static double add_logs(double a, double b) {
  const double most = fmax(a, b);
  return isinf(most) ? most : most + log(exp(a - most) + exp(b - most));
}

double fg_stay_ratio(double colours, double stay, const double *factor, size_t count) {
  double worked = -INFINITY, left = -INFINITY;
  for (size_t i = 0; i < count; ++i) {
    const double rate = stay / factor[i];
    worked = add_logs(worked, colours * log(rate) - rate);
    left = add_logs(left, colours * log(poor * rate) - poor * rate);
  }
  return worked - left;
}

fg_decision fg_decide(double log_ratio, double alpha, double beta) {
  if (log_ratio <= log(beta / (1.0 - alpha)))
    return FG_LEAVE;
  return log_ratio >= log((1.0 - beta) / alpha) ? FG_STAY : FG_GO_ON;
}

/* Outward, to what is easily remembered. */
static double round_down(double count) { return count < 20.0 ? count : 5.0 * floor(count / 5.0); }
static double round_up(double count) { return count < 20.0 ? count : 5.0 * ceil(count / 5.0); }

/* The line after buckets that show `stay` colours on ground of the threshold; false when it would
 * take more than anybody counts. */
static bool draw_line(const fg_scenario *s, double stay, const fg_sample_doubt *doubt,
                      fg_decision_row *row) {
  *row = (fg_decision_row){NAN, NAN};
  for (int colours = 0; colours <= FG_COUNTED_MOST && isnan(row->stay_at_least); ++colours) {
    const double ratio = fg_stay_ratio(colours, stay, doubt->factor, doubt->count);
    const fg_decision decision = fg_decide(ratio, s->sample.alpha, s->sample.beta);
    if (decision == FG_LEAVE)
      row->leave_at_most = round_down(colours);
    else if (decision == FG_STAY)
      row->stay_at_least = round_up(colours);
  }
  return !isnan(row->stay_at_least);
}

/* The table for colours over one size. */
static fg_status by_size(const fg_scenario *s, const fg_sample_basis *basis, double size_m,
                         unsigned long seed, fg_leave_or_stay *table) {
  const size_t most =
      s->sample.most_buckets < FG_DECIDED_MOST ? (size_t)s->sample.most_buckets : FG_DECIDED_MOST;
  const fg_counts counts = {.column_count = 1, .columns = {{size_m, INFINITY}}};
  fg_sample_doubt doubt;
  const fg_status status = fg_sample_doubt_new(s, basis, &counts, seed, &doubt);
  if (status != FG_OK)
    return status == FG_EDOMAIN ? FG_OK : status;
  table->size_m = size_m;
  table->stay = fg_sample_colours(basis, s->sample.threshold, size_m, INFINITY);
  table->leave = poor * table->stay;
  table->count = 0;
  while (doubt.count > 0 && table->count < most &&
         draw_line(s, table->stay * (double)(table->count + 1), &doubt, &table->row[table->count]))
    ++table->count;
  fg_sample_doubt_free(&doubt);
  return FG_OK;
}

/* The finest size of which a handful tells; where that gives no table, the finest at all. */
static fg_status by_threshold(const fg_scenario *s, unsigned long seed, fg_leave_or_stay *table) {
  fg_sample_basis basis;
  fg_status status = fg_sample_basis_new(s, &basis);
  if (status != FG_OK)
    return status;
  double size = s->sample.visible_size;
  for (size_t next = 0; status == FG_OK && table->count == 0;) {
    if (fg_sample_colours(&basis, s->sample.threshold, size, INFINITY) <= handy)
      status = by_size(s, &basis, size, seed, table);
    while (next < SIEVES && sieves_m[next] <= 1.01 * size)
      ++next;
    if (next == SIEVES)
      break;
    size = sieves_m[next];
  }
  if (status == FG_OK && table->count == 0)
    status = by_size(s, &basis, s->sample.visible_size, seed, table);
  fg_sample_basis_free(&basis);
  return status;
}

static fg_status by_own_rates(const fg_scenario *s, fg_leave_or_stay *table) {
  const fg_status status = fg_sequential_rates(s->sample.leave_rate, s->sample.stay_rate,
                                               s->sample.alpha, s->sample.beta, &table->test);
  if (status != FG_OK)
    return status;
  table->own = true;
  table->leave = s->sample.leave_rate;
  table->stay = s->sample.stay_rate;
  for (; table->count < (size_t)s->sample.most_buckets && table->count < FG_DECISION_ROWS;
       ++table->count) {
    const double n = (double)table->count + 1.0;
    const double leave = fg_sequential_leave_at(&table->test, n);
    table->row[table->count] = (fg_decision_row){leave < 0.0 ? (double)NAN : leave,
                                                 fg_sequential_stay_at(&table->test, n)};
  }
  return FG_OK;
}

fg_status fg_leave_or_stay_new(const fg_scenario *scenario, unsigned long seed,
                               fg_leave_or_stay *table) {
  fg_leave_or_stay *made = calloc(1, sizeof *made);
  if (!made)
    return FG_EMEMORY;
  made->size_m = scenario->sample.visible_size;
  made->leave = made->stay = NAN;
  const bool own = !isnan(scenario->sample.leave_rate) && !isnan(scenario->sample.stay_rate);
  const fg_status status = own ? by_own_rates(scenario, made) : by_threshold(scenario, seed, made);
  if (status == FG_OK)
    *table = *made;
  free(made);
  return status;
}
