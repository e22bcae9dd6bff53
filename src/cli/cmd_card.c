/* SPDX-License-Identifier: GPL-3.0-or-later */
/* card FILE: one page to carry along. */
#include <math.h>
#include <stdlib.h>

#include "cli/cli.h"
#include "cli/dry_call.h"
#include "flourgold/tune.h"
#include "pages/card_report.h"
#include "study/best.h"
#include "study/cleanup.h"
#include "study/leave_or_stay.h"

typedef struct card_call {
  fg_dry_call dry; /* with weather: drying too */
  fg_best best;    /* unless the card is of the present settings */
  fg_scenario set; /* at the settings of the card */
  fg_ensemble_choice choice;
  fg_loss loss;
  fg_bands bands;
  bool have_bands;
  double best_interval_s;
  fg_leave_or_stay table;
  fg_day day;
} card_call;

static int stalled(const fg_scenario *s, bool present) {
  return fg_call_no_answer(
      present ? "%s: the deck stalls with these settings, so there is nothing to "
                "carry along; leave --present out for settings that run, or see "
                "`flourgold loss`"
              : "%s: the deck stalls at every setting within the limits: use drier "
                "or finer ground, more shake or a stronger blower",
      s->file);
}

/* Puts the settings of the card into work->set. */
static fg_status choose_settings(card_call *work, bool present) {
  const fg_scenario *s = &work->dry.scenario;
  fg_clean_interval cleaning;
  fg_status status = FG_OK;
  work->set = *s;
  if (!present)
    status =
        fg_best_find(s, work->choice.samples, work->choice.seed, work->choice.exact, &work->best);
  if (status != FG_OK)
    return status;
  work->set = present ? *s : work->best.set;
  work->best_interval_s = work->best.cleaning_s;
  if (!present)
    return FG_OK;
  status = fg_cleanup_advise(s, work->choice.exact, &cleaning);
  work->best_interval_s = status == FG_OK ? cleaning.best_s : (double)NAN;
  return status == FG_EMEMORY ? status : FG_OK;
}

/* As `sample` does it, with the deck as the file sets it; where that stalls, as the card does. */
static fg_status decide(card_call *work) {
  enum { SEED = 1 };
  fg_status status = fg_leave_or_stay_new(&work->dry.scenario, SEED, &work->table);
  if (status == FG_ESTALL)
    status = fg_leave_or_stay_new(&work->set, SEED, &work->table);
  return status == FG_EDOMAIN ? FG_OK : status;
}

static fg_status work_out(card_call *work) {
  fg_status status = fg_loss_run(&work->set, NULL, &work->loss);
  if (status == FG_OK)
    status = decide(work);
  if (status == FG_OK)
    status = fg_day_run(&work->set, &work->loss, &work->day);
  if (status != FG_OK || work->choice.exact)
    return status;
  status = fg_ensemble_run(&work->set, &work->loss, NULL, work->choice.samples, work->choice.seed,
                           &work->bands);
  work->have_bands = status == FG_OK;
  return status;
}

/* Moisture that costs what `dry` would allow; NaN when that cannot be told. */
static double moisture_limit(const card_call *work, bool weather) {
  static const double usual_allow = 0.10;
  fg_damp damp;
  if (weather)
    return work->dry.drying.damp.limit;
  return fg_damp_solve(&work->dry.scenario, usual_allow, &damp) == FG_OK ? damp.limit : (double)NAN;
}

static int tell(const fg_call *call, card_call *work, bool present, bool weather) {
  const fg_card_story story = {.scenario = &work->set,
                               .present = present,
                               .loss = &work->loss,
                               .bands = work->have_bands ? &work->bands : NULL,
                               .drying = weather ? &work->dry.drying : NULL,
                               .moisture_limit = moisture_limit(work, weather),
                               .best_interval_s = work->best_interval_s,
                               .table = work->table.count > 0 ? &work->table : NULL,
                               .day = &work->day,
                               .units = call->units};
  return fg_call_emit(call, fg_card_report(&story), FG_EXIT_DONE);
}

static int run(const fg_call *call, card_call *work) {
  const bool present = fg_call_flag(call, "--present");
  const bool weather = fg_call_option(call, "--weather") != NULL;
  static const char *const with_weather[] = {"--means", "--flooded", "--measured",
                                             "--allow", "--days",    "--wind-height"};
  int wrong = fg_call_ensemble(call, &work->choice);
  for (size_t i = 0; i < sizeof with_weather / sizeof with_weather[0] && wrong == 0; ++i)
    if (!weather && fg_call_flag(call, with_weather[i]))
      wrong = fg_call_fail("%s goes with --weather CSV, which is missing", with_weather[i]);
  if (wrong == 0)
    wrong =
        weather ? fg_dry_call_run(call, &work->dry) : fg_call_scenario(call, &work->dry.scenario);
  if (wrong != 0)
    return wrong;
  fg_status status = choose_settings(work, present);
  if (status == FG_OK)
    status = work_out(work);
  if (status == FG_ESTALL)
    return stalled(&work->dry.scenario, present);
  return status == FG_OK ? tell(call, work, present, weather)
                         : fg_call_unsolved(&work->dry.scenario, status);
}

int fg_cmd_card(fg_call *call) {
  card_call *work = calloc(1, sizeof *work);
  if (!work)
    return fg_call_fail("%s", fg_status_text(FG_EMEMORY));
  const int code = run(call, work);
  fg_loss_free(&work->loss);
  if (work->have_bands)
    fg_ensemble_free(&work->bands);
  fg_dry_call_free(&work->dry);
  free(work);
  return code;
}
