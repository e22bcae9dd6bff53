/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_TUNE_INTERNAL_H
#define FLOURGOLD_TUNE_INTERNAL_H

#include "flourgold/tune.h"

/* What each member of a plan says of one setting. */
typedef struct fg_verdicts {
  size_t count;
  fg_aim aim;
  const fg_loss_options *options;
  double *value; /* [count] the aim; 0 when stalled; NaN when the member has no answer */
  double *kept;  /* [count] kept share, likewise */
  double *gold;  /* [count] gold kept, kg/s, likewise */
  double *fine;  /* [count] kept share of the fine gold, likewise; NaN: there is none */
} fg_verdicts;

fg_status fg_verdicts_new(size_t count, fg_aim aim, const fg_loss_options *options,
                          fg_verdicts *verdicts);
void fg_verdicts_free(fg_verdicts *verdicts);

/* Runs them all at a setting; the mean goes to *judged. */
fg_status fg_verdicts_run(const fg_scenario *scenario, const fg_plan *plan,
                          const double at[FG_KNOBS], fg_verdicts *verdicts, fg_judged *judged);

/* The whole deck, told no more than a verdict needs. */
extern const fg_loss_options fg_verdict_deck;

enum { FG_CANDIDATES_MAX = 160, FG_STARTS_MAX = 4, FG_SEEN_MAX = 128 };

/* How much of a search is spent where. */
typedef struct fg_tune_budget {
  size_t candidates, first_members; /* a first look at many */
  size_t promising, members;        /* judged again */
  size_t starts;                    /* climbed from, by `members` */
  size_t points;                    /* tried in one round of climbing */
  size_t many_members;              /* of the rounds from the best place */
  size_t range_steps;               /* to each side, for the good range */
} fg_tune_budget;

/* A search under way.  Places are shares 0-1 of the ranges of the free knobs. */
typedef struct fg_search {
  const fg_scenario *scenario;
  const fg_tune_options *options;
  const fg_plan *plan;   /* draws that the search goes by: the same whatever the seed */
  const fg_plan *judges; /* draws that judge what it found */
  fg_tune_budget spend;
  fg_knob free[FG_KNOBS]; /* continuous free knobs */
  size_t dimensions;
  double fixed[FG_KNOBS];          /* knobs that are not searched, and the screen of this start */
  fg_verdicts first, middle, many; /* ever more members, on a coarser deck */
  fg_verdicts last;                /* every judge, on the whole deck */
  fg_judged seen[FG_SEEN_MAX];     /* settings tried by `many` */
  size_t seen_count;
  size_t runs;
} fg_search;

typedef struct fg_search_candidate {
  double u[FG_KNOBS]; /* places of the continuous knobs */
  size_t screen;
  fg_judged judged;
  double worth;
} fg_search_candidate;

double fg_knob_value(const fg_knob_range *range, fg_knob knob, double place);
double fg_knob_place(const fg_knob_range *range, fg_knob knob, double value);

/* Judges a setting and counts the runs. */
fg_status fg_search_judge(fg_search *search, fg_verdicts *verdicts, const double at[FG_KNOBS],
                          fg_judged *judged);
/* The aim less what the stated order of choice takes off: too little to tell from chance, and so
 * enough to decide where chance would. */
double fg_search_worth(const fg_search *search, const fg_judged *judged);
/* A setting moved to the nearest marks that a hand can set, within the ranges. */
void fg_search_by_hand(const fg_search *search, double at[FG_KNOBS]);
/* Screen number and places as a setting. */
void fg_search_setting(fg_search *search, size_t screen, const double *u, double at[FG_KNOBS]);

/* The first look: places worth starting from, best first, at most FG_STARTS_MAX; none when every
 * candidate stalls. */
fg_status fg_search_look(fg_search *search, fg_search_candidate starts[FG_STARTS_MAX],
                         size_t *count);
/* Climbs from a start in one round for each half width of the box around the best place so far;
 * the start becomes the best place found, `judged` by these verdicts. */
fg_status fg_search_climb(fg_search *search, fg_verdicts *verdicts, const double *half_widths,
                          size_t rounds, fg_search_candidate *start);

#endif
