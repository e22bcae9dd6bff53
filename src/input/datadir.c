/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "input/datadir.h"

#include <limits.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#ifndef FG_DATA_DIR
#define FG_DATA_DIR "/usr/local/share/flourgold"
#endif

const char fg_data_folder[] = FG_DATA_DIR;

/* Tries folder/relative; FG_EIO when there is no such file. */
static fg_status try_folder(const char *folder, const char *relative, char *path, size_t size) {
  char whole[PATH_MAX];
  const int length = snprintf(whole, sizeof whole, "%s/%s", folder, relative);
  if (length < 0 || (size_t)length >= sizeof whole)
    return FG_EDOMAIN;
  if (access(whole, F_OK) != 0)
    return FG_EIO;
  if ((size_t)length >= size)
    return FG_EDOMAIN;
  memcpy(path, whole, (size_t)length + 1);
  return FG_OK;
}

/* Written by the Makefile into the folder that a build of this project's tree fills. */
static const char marker[] = ".flourgold-build";

/* Whether a folder is there and not everybody may put files into it. */
static bool is_guarded(const char *folder) {
  struct stat about;
  return stat(folder, &about) == 0 && (about.st_mode & S_IWOTH) == 0;
}

/* The folder above the one the running program lies in, when that is a build folder of the
 * project's tree and neither is open to everybody. */
static bool above_program(char *folder, size_t size) {
  const ssize_t length = readlink("/proc/self/exe", folder, size - 1);
  if (length <= 0)
    return false;
  folder[length] = '\0';
  for (int up = 0; up < 2; ++up) {
    char *slash = strrchr(folder, '/');
    if (!slash)
      return false;
    *slash = '\0';
    char found[PATH_MAX];
    if (!is_guarded(folder) ||
        (up == 0 && try_folder(folder, marker, found, sizeof found) != FG_OK))
      return false;
  }
  return true;
}

fg_status fg_data_file(const char *relative, char *path, size_t size) {
  const char *named = getenv("FLOURGOLD_DATA");
  if (named && *named != '\0')
    return try_folder(named, relative, path, size);
  char folder[PATH_MAX];
  if (above_program(folder, sizeof folder)) {
    const fg_status status = try_folder(folder, relative, path, size);
    if (status != FG_EIO)
      return status;
  }
  return try_folder(fg_data_folder, relative, path, size);
}
