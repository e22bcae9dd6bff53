/* SPDX-License-Identifier: GPL-3.0-or-later */
#ifndef FLOURGOLD_TESTS_FUZZ_H
#define FLOURGOLD_TESTS_FUZZ_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* Reads the bytes as input of that kind and checks what must hold of any: the status is one of
 * a reader's, faults are told exactly when there are some, numbers read are finite.  What does
 * not hold ends the process (abort()).  False: there is no such target. */
bool fg_fuzz_run(const char *target, const uint8_t *bytes, size_t length);

/* Names of the targets, the last NULL. */
extern const char *const fg_fuzz_targets[];

#endif
