/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/progress.h"

static fg_progress_teller listening;

void fg_progress_tell(fg_progress_teller teller) { listening = teller; }

void fg_progress(size_t done, size_t count) {
  if (!listening)
    return;
#pragma omp critical(fg_progress)
  listening(done, count);
}
