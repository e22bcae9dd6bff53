/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Runs every kept input once: replay FOLDER, which holds one folder a target.  An input that
 * does not hold ends the process. */
#include "fuzz.h"

#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

enum { BYTES_MOST = 1 << 20 };

static bool run_file(const char *target, const char *path) {
  static uint8_t bytes[BYTES_MOST];
  FILE *file = fopen(path, "rb");
  if (!file) {
    perror(path);
    return false;
  }
  const size_t length = fread(bytes, 1, sizeof bytes, file);
  const bool whole = length < sizeof bytes && !ferror(file);
  (void)fclose(file);
  printf("%s\n", path);
  (void)fflush(stdout);
  return whole && fg_fuzz_run(target, bytes, length);
}

/* Runs all files of a target; how many passed is added up. */
static void run_folder(const char *folder, const char *target, size_t *passed, size_t *failed) {
  char path[1024];
  (void)snprintf(path, sizeof path, "%s/%s", folder, target);
  struct dirent **entries = NULL;
  const int count = scandir(path, &entries, NULL, alphasort);
  size_t ran = 0;
  for (int i = 0; i < count; ++i) {
    (void)snprintf(path, sizeof path, "%s/%s/%s", folder, target, entries[i]->d_name);
    if (entries[i]->d_name[0] != '.') {
      ++*(run_file(target, path) ? passed : failed);
      ++ran;
    }
    free(entries[i]);
  }
  free(entries);
  if (ran == 0) {
    printf("there is no input for %s\n", target);
    ++*failed;
  }
}

int main(int argc, char **argv) {
  size_t passed = 0, failed = 0;
  if (argc != 2) {
    fprintf(stderr, "usage: replay FOLDER\n");
    return 2;
  }
  for (size_t i = 0; fg_fuzz_targets[i]; ++i)
    run_folder(argv[1], fg_fuzz_targets[i], &passed, &failed);
  printf("%zu passed, %zu failed\n", passed, failed);
  return failed > 0;
}
