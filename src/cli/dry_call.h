/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FG_CLI_DRY_CALL_H
#define FG_CLI_DRY_CALL_H

#include "cli/cli.h"
#include "study/drying.h"

/* A drying worked out for a command line; shared by `dry` and `plot drying`. */
typedef struct fg_dry_call {
  fg_scenario scenario;
  fg_weather weather, means;
  fg_drying_options options;
  fg_drying drying;
} fg_dry_call;

/* Options that say what is to be worked out (FG_DRYING_OPTIONS in an option list). */
#define FG_DRYING_OPTIONS                                                                          \
  FG_READS("--weather", "CSV", "daily weather: date, rain [in], tmin [degF], tmax [degF] ..."),    \
      FG_READS("--means", "CSV",                                                                   \
               "monthly means for the days after it: month, tmin [degF], tmax [degF]"),            \
      FG_DATES("--flooded", "DATE", "a wash ran: saturated that day"),                             \
      FG_OF_KIND("--measured", "DATE=PERCENT", "moisture of what is dug, weighed",                 \
                 FG_TAKES_DATED),                                                                  \
      FG_QUANTITY("--allow", "SHARE", "of the fine gold that damp may take (default 10 %)",        \
                  FG_Q_SHARE, 0.001, 0.95),                                                        \
      FG_WHOLE("--days", "N", "days to look beyond the weather (default 90)", 0,                   \
               FG_DRYING_AHEAD_MAX),                                                               \
      FG_QUANTITY("--wind-height", "HEIGHT", "where the wind was measured (default 6.6 ft)",       \
                  FG_Q_DISTANCE, 0.2, 200.0)

/* Reads the options, scenario and weather and runs it.  Returns 0, or the exit code after a
 * message.  Free with fg_dry_call_free() in every case. */
int fg_dry_call_run(const fg_call *call, fg_dry_call *dry);
void fg_dry_call_free(fg_dry_call *dry);

#endif
