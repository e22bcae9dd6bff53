/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Writing a file so that the old content stays whole until the new is on disk. */
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "core/write.h"

/* The temporary file under way, for a signal handler: the name is whole whenever
 * `pending` is set. */
static char pending_path[PATH_MAX];
static volatile sig_atomic_t pending;

void fg_write_abandon(void) {
  if (pending)
    (void)unlink(pending_path);
}

static const char *reason(int error) {
  switch (error) {
  case ENOSPC:
    return "no space left on the disk";
  case EACCES:
  case EPERM:
    return "no permission to write there";
  case ENOENT:
    return "its folder does not exist";
  case ENOTDIR:
    return "part of the path is a file, not a folder";
  case EISDIR:
    return "it is a folder; give a file name";
  case EROFS:
    return "the disk is read-only";
  case EPIPE:
    return "the reader has closed the pipe";
  case ENAMETOOLONG:
    return "the name is too long";
  default:
    return strerror(error);
  }
}

static fg_status fail(const char *path, int error, char *message, size_t size) {
  if (size > 0)
    snprintf(message, size, "cannot write %s: %s", path, reason(error));
  return FG_EIO;
}

/* Returns 0 or an errno. */
static int write_all(int fd, const char *bytes, size_t length) {
  while (length > 0) {
    ssize_t written = write(fd, bytes, length);
    if (written < 0 && errno == EINTR)
      continue;
    if (written < 0)
      return errno;
    bytes += written;
    length -= (size_t)written;
  }
  return 0;
}

/* The descriptor that `path` is another name of, or -1: such a path is written to as
 * it stands open, so that what was written before is kept. */
static int open_descriptor(const char *path) {
  static const char *const folders[] = {"/dev/fd/", "/proc/self/fd/"};
  if (strcmp(path, "/dev/stdout") == 0)
    return STDOUT_FILENO;
  if (strcmp(path, "/dev/stderr") == 0)
    return STDERR_FILENO;
  for (size_t i = 0; i < 2; ++i) {
    size_t length = strlen(folders[i]);
    char *end = NULL;
    if (strncmp(path, folders[i], length) != 0)
      continue;
    long fd = strtol(path + length, &end, 10);
    return end != path + length && *end == '\0' && fd >= 0 && fd < INT_MAX ? (int)fd : -1;
  }
  return -1;
}

/* What was read so far. */
typedef struct noted_file {
  dev_t device;
  ino_t inode;
  char *path;
} noted_file;

static noted_file *noted;
static size_t noted_count;

static const char *noted_as(const struct stat *about) {
  for (size_t i = 0; i < noted_count; ++i)
    if (noted[i].device == about->st_dev && noted[i].inode == about->st_ino)
      return noted[i].path;
  return NULL;
}

fg_status fg_write_protect(dev_t device, ino_t inode, const char *path) {
  const struct stat about = {.st_dev = device, .st_ino = inode};
  if (noted_as(&about))
    return FG_OK;
  char *name = strdup(path);
  noted_file *longer = realloc(noted, (noted_count + 1) * sizeof *noted);
  if (longer)
    noted = longer;
  if (!name || !longer) {
    free(name);
    return FG_EMEMORY;
  }
  noted[noted_count++] = (noted_file){device, inode, name};
  return FG_OK;
}

const char *fg_write_protected(const char *path) {
  struct stat about;
  return stat(path, &about) == 0 && S_ISREG(about.st_mode) ? noted_as(&about) : NULL;
}

void fg_write_forget(void) {
  for (size_t i = 0; i < noted_count; ++i)
    free(noted[i].path);
  free(noted);
  noted = NULL;
  noted_count = 0;
}

static fg_status refuse(const char *path, const char *input, char *message, size_t size) {
  if (size > 0)
    snprintf(message, size,
             "cannot write %s: it would overwrite %s, which is read; give another name", path,
             input);
  return FG_EIO;
}

/* Follows symbolic links, also to a file that is not there yet.  Returns 0 or an errno. */
static int resolve(const char *path, char target[PATH_MAX]) {
  if (strlen(path) >= PATH_MAX)
    return ENAMETOOLONG;
  memcpy(target, path, strlen(path) + 1);
  for (int hops = 0; hops < 40; ++hops) {
    struct stat status;
    char link[PATH_MAX];
    if (lstat(target, &status) != 0)
      return errno == ENOENT ? 0 : errno;
    if (!S_ISLNK(status.st_mode))
      return 0;
    ssize_t length = readlink(target, link, sizeof link - 1);
    if (length < 0)
      return errno;
    link[length] = '\0';
    char *slash = strrchr(target, '/');
    size_t folder = link[0] != '/' && slash ? (size_t)(slash + 1 - target) : 0;
    if (folder + (size_t)length >= PATH_MAX)
      return ENAMETOOLONG;
    memcpy(target + folder, link, (size_t)length + 1);
  }
  return ELOOP;
}

/* Opens a new file beside `target`, its name in pending_path.  Returns its descriptor,
 * or -1 with errno set. */
static int open_temporary(const char *target, mode_t mode) {
  const char *slash = strrchr(target, '/');
  int folder = slash ? (int)(slash + 1 - target) : 0;
  for (unsigned i = 0; i < 100; ++i) {
    int length = snprintf(pending_path, sizeof pending_path, "%.*s.flourgold-%ld-%u.tmp", folder,
                          target, (long)getpid(), i);
    if (length < 0 || (size_t)length >= sizeof pending_path) {
      errno = ENAMETOOLONG;
      return -1;
    }
    int fd = open(pending_path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOFOLLOW, mode);
    if (fd >= 0)
      return fd;
    if (errno != EEXIST && errno != EINTR)
      return -1;
  }
  return -1;
}

/* A signal between creating the temporary file and noting it would leave it behind, so
 * signals wait that long. */
static int open_noted(const char *target, mode_t mode) {
  sigset_t all;
  sigset_t before;
  sigfillset(&all);
  sigprocmask(SIG_BLOCK, &all, &before);
  int fd = open_temporary(target, mode);
  int error = errno;
  pending = fd >= 0;
  sigprocmask(SIG_SETMASK, &before, NULL);
  errno = error;
  return fd;
}

/* The folder that `target` lies in. */
static void folder_of(const char *target, char folder[static PATH_MAX]) {
  memcpy(folder, target, strlen(target) + 1);
  char *slash = strrchr(folder, '/');
  if (!slash)
    memcpy(folder, ".", sizeof ".");
  else
    slash[1] = '\0';
}

static const char *base_name(const char *target) {
  const char *slash = strrchr(target, '/');
  return slash ? slash + 1 : target;
}

/* Makes the new name last; a file system that cannot is no failure. */
static void sync_folder(const char *target) {
  char folder[PATH_MAX];
  folder_of(target, folder);
  int fd = open(folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (fd < 0)
    return;
  (void)fsync(fd);
  (void)close(fd);
}

/* Returns 0 or an errno.  `old` is the present file, NULL when there is none. */
static int replace(const char *target, const struct stat *old, const char *bytes, size_t length) {
  int fd = open_noted(target, 0666);
  if (fd < 0)
    return errno;
  int error = write_all(fd, bytes, length);
  if (error == 0 && old && fchmod(fd, old->st_mode & 07777) != 0)
    error = errno;
  if (error == 0 && fsync(fd) != 0)
    error = errno;
  if (close(fd) != 0 && error == 0)
    error = errno;
  if (error == 0 && rename(pending_path, target) != 0)
    error = errno;
  if (error != 0)
    (void)unlink(pending_path);
  pending = 0;
  if (error == 0)
    sync_folder(target);
  return error;
}

/* Returns 0 or an errno. */
static int write_plain(const char *path, const char *bytes, size_t length) {
  int fd = open(path, O_WRONLY | O_CLOEXEC | O_NOCTTY);
  if (fd < 0)
    return errno;
  int error = write_all(fd, bytes, length);
  if (close(fd) != 0 && error == 0)
    error = errno;
  return error;
}

/* Where a regular file would come to lie: sets target, and *there with *status when it is there
 * already.  Returns 0 or an errno. */
static int find_target(const char *path, char target[static PATH_MAX], struct stat *status,
                       bool *there) {
  int error = resolve(path, target);
  *there = error == 0 && stat(target, status) == 0;
  if (error == 0 && !*there && target[strlen(target) - 1] == '/')
    error = EISDIR;
  if (*there && access(target, W_OK) != 0)
    error = errno;
  return error;
}

bool fg_write_same(const char *a, const char *b) {
  const char *const paths[2] = {a, b};
  struct stat found[2];
  char target[2][PATH_MAX], folder[PATH_MAX];
  bool there[2];
  for (int i = 0; i < 2; ++i) {
    if (resolve(paths[i], target[i]) != 0)
      return strcmp(a, b) == 0;
    there[i] = stat(target[i], &found[i]) == 0;
    folder_of(target[i], folder);
    if (!there[i] && stat(folder, &found[i]) != 0)
      return strcmp(a, b) == 0;
  }
  if (there[0] != there[1] || found[0].st_dev != found[1].st_dev ||
      found[0].st_ino != found[1].st_ino)
    return false;
  return there[0] ? S_ISREG(found[0].st_mode)
                  : strcmp(base_name(target[0]), base_name(target[1])) == 0;
}

fg_status fg_write_check(const char *path, char *message, size_t size) {
  struct stat status;
  char target[PATH_MAX], folder[PATH_MAX];
  bool there = false;
  int error = 0;
  if (open_descriptor(path) >= 0)
    return FG_OK;
  const char *input = fg_write_protected(path);
  if (input)
    return refuse(path, input, message, size);
  if (stat(path, &status) == 0 && !S_ISREG(status.st_mode)) {
    error = S_ISDIR(status.st_mode) ? EISDIR : access(path, W_OK) != 0 ? errno : 0;
  } else {
    error = find_target(path, target, &status, &there);
    if (error == 0) {
      folder_of(target, folder);
      error = access(folder, W_OK | X_OK) != 0 ? errno : 0;
    }
  }
  return error == 0 ? FG_OK : fail(path, error, message, size);
}

fg_status fg_write_file(const char *path, const void *bytes, size_t length, char *message,
                        size_t size) {
  struct stat status;
  char target[PATH_MAX];
  int fd = open_descriptor(path);
  int error = 0;
  if (path[0] == '\0') {
    if (size > 0)
      snprintf(message, size, "cannot write: the file name is empty");
    return FG_EIO;
  }
  const char *input = fd >= 0 ? NULL : fg_write_protected(path);
  if (input)
    return refuse(path, input, message, size);
  if (fd >= 0) {
    (void)fflush(stdout);
    error = write_all(fd, bytes, length);
  } else if (stat(path, &status) == 0 && !S_ISREG(status.st_mode)) {
    error = S_ISDIR(status.st_mode) ? EISDIR : write_plain(path, bytes, length);
  } else {
    bool there = false;
    error = find_target(path, target, &status, &there);
    if (error == 0)
      error = replace(target, there ? &status : NULL, bytes, length);
  }
  return error == 0 ? FG_OK
                    : fail(fd == STDOUT_FILENO ? "standard output" : path, error, message, size);
}
