/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "process.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

/* A program gone wild must not fill the disk. */
enum { LARGEST_FILE_BYTES = 1 << 28 };

typedef struct streams {
  FILE *in, *out, *err; /* in: NULL for /dev/null */
} streams;

static void close_streams(streams *s) {
  FILE *const all[] = {s->in, s->out, s->err};
  for (size_t i = 0; i < sizeof all / sizeof all[0]; ++i) {
    if (all[i]) {
      (void)fclose(all[i]);
    }
  }
}

static bool open_streams(streams *s, fgt_text input) {
  s->out = tmpfile();
  s->err = tmpfile();
  if (input.bytes) {
    s->in = tmpfile();
    if (!s->in || fwrite(input.bytes, 1, input.length, s->in) != input.length ||
        fflush(s->in) != 0 || fseek(s->in, 0, SEEK_SET) != 0) {
      return false;
    }
  }
  return s->out && s->err;
}

static bool connect_streams(const streams *s) {
  const int in = s->in ? fileno(s->in) : open("/dev/null", O_RDONLY | O_CLOEXEC);
  return in >= 0 && dup2(in, STDIN_FILENO) >= 0 && dup2(fileno(s->out), STDOUT_FILENO) >= 0 &&
         dup2(fileno(s->err), STDERR_FILENO) >= 0;
}

/* The child's side: becomes the program, or writes errno to `report` and ends. */
static _Noreturn void become(char *const arguments[], char *const settings[], size_t count,
                             const streams *s, const sigset_t *mask, int report) {
  const struct rlimit no_core = {0, 0};
  const struct rlimit file_size = {LARGEST_FILE_BYTES, LARGEST_FILE_BYTES};
  bool ready = setpgid(0, 0) == 0 && setrlimit(RLIMIT_CORE, &no_core) == 0 &&
               setrlimit(RLIMIT_FSIZE, &file_size) == 0 && connect_streams(s);
  for (size_t i = 0; i < count && ready; ++i) {
    ready = putenv(settings[i]) == 0;
  }
  if (ready && sigprocmask(SIG_SETMASK, mask, NULL) == 0) {
    execv(arguments[0], arguments);
  }
  const int number = errno;
  const ssize_t written = write(report, &number, sizeof number);
  _exit(written == (ssize_t)sizeof number ? 126 : 127);
}

/* Waits for the child; false when the time is over first.  SIGCHLD is blocked. */
static bool wait_until(pid_t child, double limit_s, int *status) {
  struct timespec start;
  (void)clock_gettime(CLOCK_MONOTONIC, &start);
  sigset_t child_ended;
  (void)sigemptyset(&child_ended);
  (void)sigaddset(&child_ended, SIGCHLD);
  for (;;) {
    if (waitpid(child, status, WNOHANG) == child) {
      return true;
    }
    struct timespec now;
    (void)clock_gettime(CLOCK_MONOTONIC, &now);
    const double left_s = limit_s - (double)(now.tv_sec - start.tv_sec) -
                          1e-9 * (double)(now.tv_nsec - start.tv_nsec);
    if (left_s <= 0) {
      return false;
    }
    const time_t whole = (time_t)left_s;
    const struct timespec left = {whole, (long)(1e9 * (left_s - (double)whole))};
    (void)sigtimedwait(&child_ended, NULL, &left);
  }
}

static const char *finish(pid_t child, double limit_s, int report, int *exit_status) {
  int status = 0;
  const bool ended = wait_until(child, limit_s, &status);
  /* The group outlives its leader when the program left something running. */
  (void)kill(-child, SIGKILL);
  if (!ended) {
    (void)waitpid(child, &status, 0);
    return fgt_format("it did not end within %g s and was killed", limit_s);
  }
  int number = 0;
  if (read(report, &number, sizeof number) == (ssize_t)sizeof number) {
    return fgt_format("it could not be started: %s", strerror(number));
  }
  if (WIFSIGNALED(status)) {
    return fgt_format("it died of signal %d (%s)", WTERMSIG(status), strsignal(WTERMSIG(status)));
  }
  *exit_status = WEXITSTATUS(status);
  return NULL;
}

static fgt_text collect(FILE *file) {
  fgt_text text = {fgt_alloc(1), 0};
  long size = -1;
  if (fseek(file, 0, SEEK_END) == 0) {
    size = ftell(file);
  }
  if (size > 0 && fseek(file, 0, SEEK_SET) == 0) {
    char *bytes = fgt_alloc((size_t)size + 1);
    text = (fgt_text){bytes, fread(bytes, 1, (size_t)size, file)};
  }
  return text;
}

fgt_outcome fgt_process_run(char *const arguments[], char *const settings[], size_t count,
                            fgt_text input, double limit_s) {
  fgt_outcome outcome = {.out = fgt_text_copy("", 0), .err = fgt_text_copy("", 0)};
  outcome.trouble = "the test runner could not prepare the run";
  streams s = {NULL, NULL, NULL};
  int report[2] = {-1, -1};
  if (!open_streams(&s, input) || pipe2(report, O_CLOEXEC) != 0) {
    close_streams(&s);
    return outcome;
  }
  sigset_t child_ended;
  sigset_t before;
  (void)sigemptyset(&child_ended);
  (void)sigaddset(&child_ended, SIGCHLD);
  (void)sigprocmask(SIG_BLOCK, &child_ended, &before);
  (void)fflush(NULL);
  const pid_t child = fork();
  if (child == 0) {
    become(arguments, settings, count, &s, &before, report[1]);
  }
  (void)close(report[1]);
  if (child > 0) {
    (void)setpgid(child, child); /* on both sides, so that it is done before any kill */
    outcome.trouble = finish(child, limit_s, report[0], &outcome.exit_status);
    outcome.out = collect(s.out);
    outcome.err = collect(s.err);
  }
  (void)close(report[0]);
  (void)sigprocmask(SIG_SETMASK, &before, NULL);
  close_streams(&s);
  return outcome;
}
