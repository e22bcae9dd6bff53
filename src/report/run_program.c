/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Running a program without a shell, with a time limit. */
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <sys/mman.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "core/text.h"
#include "report/run_program.h"

enum { OUTPUT_MOST = 64 << 20 };

/* The process group under way, for a signal handler; 0: none. */
static volatile sig_atomic_t group;

void fg_run_abandon(void) {
  if (group > 0)
    (void)kill(-(pid_t)group, SIGKILL);
}

/* Nothing of the user's own set-up may change what the program does; numbers keep their
 * point and text is UTF-8. */
static bool is_left_out(const char *setting) {
  static const char *const left_out[] = {"LC_", "LANG=", "LANGUAGE=", "GNUTERM=", "GNUPLOT_"};
  for (size_t i = 0; i < sizeof left_out / sizeof left_out[0]; ++i)
    if (strncmp(setting, left_out[i], strlen(left_out[i])) == 0)
      return true;
  return false;
}

/* The strings stay the environment's; the caller frees the list. */
static char **make_environment(void) {
  static char plain[] = "LC_ALL=C.UTF-8";
  size_t count = 0;
  while (environ && environ[count])
    ++count;
  char **list = calloc(count + 2, sizeof *list);
  if (!list)
    return NULL;
  size_t used = 0;
  list[used++] = plain;
  for (size_t i = 0; i < count; ++i)
    if (!is_left_out(environ[i]))
      list[used++] = environ[i];
  return list;
}

/* Returns 0 or an errno. */
static int set_actions(posix_spawn_file_actions_t *actions, int out, int err) {
  int error = posix_spawn_file_actions_addopen(actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
  if (error == 0)
    error = posix_spawn_file_actions_adddup2(actions, out, STDOUT_FILENO);
  if (error == 0)
    error = posix_spawn_file_actions_adddup2(actions, err, STDERR_FILENO);
  if (error == 0)
    error = posix_spawn_file_actions_addclosefrom_np(actions, STDERR_FILENO + 1);
  return error;
}

/* Signals are as usual there, whatever is caught or ignored here; and the program leads a group of
 * its own, so that what it starts can be ended with it. */
static int set_signals(posix_spawnattr_t *attributes) {
  sigset_t all;
  sigset_t none;
  sigfillset(&all);
  sigemptyset(&none);
  int error = posix_spawnattr_setsigdefault(attributes, &all);
  if (error == 0)
    error = posix_spawnattr_setsigmask(attributes, &none);
  if (error == 0)
    error = posix_spawnattr_setpgroup(attributes, 0);
  if (error == 0)
    error = posix_spawnattr_setflags(attributes, POSIX_SPAWN_SETSIGDEF | POSIX_SPAWN_SETSIGMASK |
                                                     POSIX_SPAWN_SETPGROUP);
  return error;
}

/* posix_spawnp() of a program none of whose files may grow beyond OUTPUT_MOST: the limit is set
 * here for that moment, and inherited. */
static int spawn_limited(const char *const *arguments, char **environment,
                         const posix_spawn_file_actions_t *actions,
                         const posix_spawnattr_t *attributes, pid_t *child) {
  struct rlimit usual;
  if (getrlimit(RLIMIT_FSIZE, &usual) != 0)
    return errno;
  struct rlimit limited = usual;
  if (limited.rlim_cur > OUTPUT_MOST)
    limited.rlim_cur = OUTPUT_MOST;
  if (setrlimit(RLIMIT_FSIZE, &limited) != 0)
    return errno;
  const int error =
      posix_spawnp(child, arguments[0], actions, attributes, (char *const *)arguments, environment);
  (void)setrlimit(RLIMIT_FSIZE, &usual);
  if (error == 0)
    group = *child;
  return error;
}

static int start(const char *const *arguments, char **environment, int out, int err, pid_t *child) {
  posix_spawn_file_actions_t actions;
  posix_spawnattr_t attributes;
  int error = posix_spawn_file_actions_init(&actions);
  if (error != 0)
    return error;
  error = posix_spawnattr_init(&attributes);
  if (error == 0) {
    error = set_actions(&actions, out, err);
    if (error == 0)
      error = set_signals(&attributes);
    if (error == 0)
      error = spawn_limited(arguments, environment, &actions, &attributes, child);
    (void)posix_spawnattr_destroy(&attributes);
  }
  (void)posix_spawn_file_actions_destroy(&actions);
  return error;
}

/* A file in memory: there is nothing to take away again, however this ends.  Its descriptor
 * is none of the three that the child sets anew.  -1 with errno set. */
static int memory_file(const char *name) {
  int low = memfd_create(name, MFD_CLOEXEC);
  if (low < 0 || low > STDERR_FILENO)
    return low;
  int high = fcntl(low, F_DUPFD_CLOEXEC, STDERR_FILENO + 1);
  int error = errno;
  (void)close(low);
  errno = error;
  return high;
}

static double now(void) {
  struct timespec t;
  (void)clock_gettime(CLOCK_MONOTONIC, &t);
  return (double)t.tv_sec + 1e-9 * (double)t.tv_nsec;
}

/* Returns 0 or an errno. */
static int wait_for(pid_t child, double seconds, fg_run *run) {
  const struct timespec pause = {0, 5000000};
  double end = now() + seconds;
  for (;;) {
    pid_t ended = waitpid(child, &run->status, run->timed_out ? 0 : WNOHANG);
    if (ended == child)
      return 0;
    if (ended < 0 && errno != EINTR)
      return errno;
    if (!run->timed_out && now() > end) {
      run->timed_out = true;
      fg_run_abandon();
    } else if (ended == 0) {
      (void)nanosleep(&pause, NULL);
    }
  }
}

/* All that was written to the descriptor; NULL when memory or patience ran out. */
static char *read_back(int fd, size_t *length) {
  fg_text text = {0};
  char buffer[65536];
  off_t place = 0;
  for (;;) {
    ssize_t got = pread(fd, buffer, sizeof buffer, place);
    if (got < 0 && errno == EINTR)
      continue;
    if (got < 0 || place > OUTPUT_MOST)
      text.failed = true;
    if (got <= 0 || text.failed)
      return fg_text_take(&text, length);
    fg_text_add_bytes(&text, buffer, (size_t)got);
    place += got;
  }
}

fg_status fg_run_program(const char *const *arguments, double seconds, fg_run *run) {
  fg_run ran = {0};
  int out = memory_file("output");
  int err = out >= 0 ? memory_file("messages") : -1;
  if (err < 0)
    ran.error = errno;
  char **environment = make_environment();
  pid_t child = 0;
  fg_status status = environment ? FG_OK : FG_EMEMORY;
  if (status == FG_OK && ran.error == 0)
    ran.error = start(arguments, environment, out, err, &child);
  if (status == FG_OK && ran.error == 0)
    ran.error = wait_for(child, seconds, &ran);
  fg_run_abandon(); /* what it may have left running */
  group = 0;
  if (status == FG_OK && ran.error != 0)
    status = FG_EIO;
  if (status == FG_OK) {
    ran.out = read_back(out, &ran.out_length);
    ran.err = read_back(err, NULL);
    status = ran.out && ran.err ? FG_OK : FG_EMEMORY;
  }
  free(environment);
  if (out >= 0)
    (void)close(out);
  if (err >= 0)
    (void)close(err);
  if (status == FG_EMEMORY)
    fg_run_free(&ran);
  *run = ran;
  return status;
}

void fg_run_free(fg_run *run) {
  free(run->out);
  free(run->err);
  *run = (fg_run){0};
}
