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

/* `most` may be what earlier files left of a scenario's one MiB: told in whole ones, rounded up. */
static void explain_size(size_t most, char *message, size_t size) {
  const size_t whole = most >> 20, allowed = whole + (most > whole << 20 || whole == 0);
  snprintf(message, size, "more than %zu MiB in all%s", allowed,
           allowed == 1 ? "; a scenario is a few kilobytes" : "");
}

/* Makes room for a byte more than `*room`, and as many again; no more than `most` and two, so that
 * a file longer than allowed is noticed and a terminator fits.  `known` is the length it should
 * have. */
static bool grow(char **buffer, size_t *room, size_t known, size_t most) {
  const size_t wanted = !*buffer ? known + 2 : 2 * *room;
  *room = wanted - 2 < most ? wanted : most + 2;
  char *longer = realloc(*buffer, *room);
  if (longer)
    *buffer = longer;
  return longer;
}

/* Reads to the end, or to a byte more than `most`.  0, or an errno. */
static int read_all(int file, size_t known, size_t most, char **buffer, size_t *length) {
  size_t room = 0;
  for (;;) {
    if (*length + 1 >= room && !grow(buffer, &room, known, most))
      return ENOMEM;
    const ssize_t got = read(file, *buffer + *length, room - 1 - *length);
    if (got < 0 && errno == EINTR)
      continue;
    if (got < 0)
      return errno;
    *length += (size_t)got;
    if (got == 0 || *length > most)
      return 0;
  }
}

static fg_status read_open(int file, size_t known, size_t most, char **bytes, size_t *length,
                           char *message, size_t size) {
  char *buffer = NULL;
  size_t got = 0;
  const int error = read_all(file, known, most, &buffer, &got);
  if (error == 0 && got <= most) {
    buffer[got] = '\0';
    *bytes = buffer;
    *length = got;
    return FG_OK;
  }
  free(buffer);
  if (error == ENOMEM)
    return FG_EMEMORY;
  if (error != 0)
    snprintf(message, size, "%s", strerror(error));
  else
    explain_size(most, message, size);
  return FG_EIO;
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
      status = read_open(file, (size_t)about.st_size, most, bytes, length, message, size);
    *identity = (fg_file_identity){about.st_dev, about.st_ino};
  }
  (void)close(file);
  return status;
}
