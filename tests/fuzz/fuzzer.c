/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The target that FG_FUZZ_TARGET names, for libFuzzer. */
#include "fuzz.h"

#include <stdio.h>
#include <stdlib.h>

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length);

int LLVMFuzzerTestOneInput(const uint8_t *bytes, size_t length) {
  const char *target = getenv("FG_FUZZ_TARGET");
  if (!target || !fg_fuzz_run(target, bytes, length)) {
    fprintf(stderr, "FG_FUZZ_TARGET must name one of:");
    for (size_t i = 0; fg_fuzz_targets[i]; ++i)
      fprintf(stderr, " %s", fg_fuzz_targets[i]);
    fprintf(stderr, "\n");
    exit(1);
  }
  return 0;
}
