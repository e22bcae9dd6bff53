/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/slurp.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "core/write.h"

/* NULL for a regular file. */
static const char *odd_kind(mode_t mode) {
  if (S_ISREG(mode))
    return NULL;
  if (S_ISDIR(mode))
    return "it is a folder, not a file";
  if (S_ISFIFO(mode))
    return "it is a pipe, not a file; save the text to a file first";
  return "it is a device or socket, not a file";
}

/* Reads up to `room` bytes; -1 on an error. */
static ssize_t read_fully(int file, char *bytes, size_t room) {
  size_t length = 0;
  while (length < room) {
    const ssize_t got = read(file, bytes + length, room - length);
    if (got < 0 && errno == EINTR)
      continue;
    if (got < 0)
      return -1;
    if (got == 0)
      break;
    length += (size_t)got;
  }
  return (ssize_t)length;
}

/* `most` may be what earlier files left of a scenario's one MiB: told in whole ones, rounded up. */
static void explain_size(size_t most, char *message, size_t size) {
  const size_t whole = most >> 20, allowed = whole + (most > whole << 20 || whole == 0);
  snprintf(message, size, "more than %zu MiB in all%s", allowed,
           allowed == 1 ? "; a scenario is a few kilobytes" : "");
}

static fg_status read_open(int file, size_t most, char **bytes, size_t *length, char *message,
                           size_t size) {
  /* One byte more than allowed, so that a file which grows meanwhile is noticed. */
  char *buffer = malloc(most + 2);
  if (!buffer)
    return FG_EMEMORY;
  const ssize_t got = read_fully(file, buffer, most + 1);
  if (got < 0 || (size_t)got > most) {
    if (got < 0)
      snprintf(message, size, "%s", strerror(errno));
    else
      explain_size(most, message, size);
    free(buffer);
    return FG_EIO;
  }
  buffer[got] = '\0';
  char *fitting = realloc(buffer, (size_t)got + 1);
  *bytes = fitting ? fitting : buffer;
  *length = (size_t)got;
  return FG_OK;
}

fg_status fg_slurp(const char *path, size_t most, char **bytes, size_t *length,
                   fg_file_identity *identity, char *message, size_t size) {
  const int file = open(path, O_RDONLY | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
  struct stat about;
  if (file < 0 || fstat(file, &about) != 0) {
    snprintf(message, size, "%s", strerror(errno));
    if (file >= 0)
      (void)close(file);
    return FG_EIO;
  }
  fg_status status = FG_EIO;
  const char *odd = odd_kind(about.st_mode);
  if (odd) {
    snprintf(message, size, "%s", odd);
  } else {
    status = fg_write_protect(about.st_dev, about.st_ino, path);
    if (status == FG_OK)
      status = read_open(file, most, bytes, length, message, size);
    *identity = (fg_file_identity){about.st_dev, about.st_ino};
  }
  (void)close(file);
  return status;
}
