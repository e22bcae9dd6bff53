/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/nearest.h"

#include <ctype.h>
#include <stddef.h>
#include <string.h>

enum { WORD_MAX = 63 };

static size_t smaller(size_t a, size_t b) { return a < b ? a : b; }

static int folded(char c) { return tolower((unsigned char)c); }

/* Optimal string alignment distance; both words at most WORD_MAX long. */
static size_t distance(const char *a, size_t a_length, const char *b, size_t b_length) {
  size_t rows[3][WORD_MAX + 1];
  for (size_t j = 0; j <= b_length; ++j)
    rows[0][j] = j;
  for (size_t i = 1; i <= a_length; ++i) {
    size_t *now = rows[i % 3];
    const size_t *above = rows[(i + 2) % 3];
    const size_t *two_above = rows[(i + 1) % 3];
    now[0] = i;
    for (size_t j = 1; j <= b_length; ++j) {
      const size_t slip = folded(a[i - 1]) != folded(b[j - 1]);
      now[j] = smaller(smaller(above[j] + 1, now[j - 1] + 1), above[j - 1] + slip);
      if (i > 1 && j > 1 && folded(a[i - 1]) == folded(b[j - 2]) &&
          folded(a[i - 2]) == folded(b[j - 1]))
        now[j] = smaller(now[j], two_above[j - 2] + 1);
    }
  }
  return rows[a_length % 3][b_length];
}

const char *fg_nearest(const char *word, const char *const *list) {
  const size_t length = strlen(word);
  if (length == 0 || length > WORD_MAX)
    return NULL;
  const char *best = NULL;
  size_t best_distance = length < 3 ? 2 : 1 + length / 3;
  for (; *list; ++list) {
    const size_t other = strlen(*list);
    if (other == 0 || other > WORD_MAX)
      continue;
    const size_t d = distance(word, length, *list, other);
    if (d < best_distance) {
      best_distance = d;
      best = *list;
    }
  }
  return best;
}
