/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_CORE_PROGRESS_H
#define FLOURGOLD_CORE_PROGRESS_H

#include <stddef.h>

/* How far long work is, for whoever cares: `done` of `count` like pieces. */
typedef void (*fg_progress_teller)(size_t done, size_t count);

/* Whom to tell from now on; NULL, as at first: nobody. */
void fg_progress_tell(fg_progress_teller teller);

/* Tells so.  From any thread; the teller is called by one at a time. */
void fg_progress(size_t done, size_t count);

#endif
