/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "input/choice.h"

#include <ctype.h>
#include <stddef.h>
#include <stdio.h>
#include <string.h>

enum { CHOICE_MAX = 64 };

/* A text as the lists spell their words: small letters, _ between, numbers in letters. */
static void spell(const char *text, char word[static CHOICE_MAX]) {
  const char *number = *text == '2' ? "two" : *text == '4' ? "four" : "";
  size_t used = (size_t)snprintf(word, CHOICE_MAX, "%s", number);
  if (used > 0 && isalpha((unsigned char)*++text))
    word[used++] = '_';
  for (; *text != '\0' && used + 1 < CHOICE_MAX; ++text)
    word[used++] = (char)(*text == ' ' || *text == '-' ? '_' : tolower((unsigned char)*text));
  word[used] = '\0';
}

int fg_choice_named(const char *const *choices, const char *text) {
  char word[CHOICE_MAX];
  if (strlen(text) >= CHOICE_MAX)
    return -1;
  spell(text, word);
  for (int i = 0; choices[i]; ++i)
    if (strcmp(choices[i], word) == 0)
      return i;
  return -1;
}
