/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "core/write.h"
#include <signal.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "cli/cli.h"
#include "cli/screen.h"
#include "flourgold/flourgold.h"
#include "report/run_program.h"

/* Ends the program as the signal would, after taking away a half-written file. */
static void on_signal(int number) {
  /* It calls unlink(), kill() and write() only, which are safe here.
   * NOLINTNEXTLINE(*-signal-handler,cert-sig30-c) */
  fg_write_abandon();
  fg_run_abandon();  /* NOLINT(*-signal-handler,cert-sig30-c) */
  fg_screen_clear(); /* NOLINT(*-signal-handler,cert-sig30-c) */
  signal(number, SIG_DFL);
  raise(number);
}

/* A reader that has seen enough (`| head -1`) ends the program by SIGPIPE, without a word, as it
 * ends others.  A signal that the starter of the program chose to ignore stays ignored. */
static void catch_signals(void) {
  static const int caught[] = {SIGINT, SIGTERM, SIGHUP, SIGQUIT, SIGPIPE, SIGXCPU, SIGXFSZ};
  for (size_t i = 0; i < sizeof caught / sizeof caught[0]; ++i)
    if (signal(caught[i], on_signal) == SIG_IGN)
      signal(caught[i], SIG_IGN);
}

static bool at_work; /* a command runs: nothing should call exit() */

/* A library that finds no thread or no memory ends the program by exit(1), which would look as if
 * the model had no answer. */
static void on_exit_at_work(void) {
  if (!at_work)
    return;
  fg_write_abandon();
  fg_run_abandon();
  (void)fg_call_fail("this machine could not give what the run needs, threads or memory; "
                     "OMP_NUM_THREADS=1 makes it ask for less");
  _exit(FG_EXIT_MACHINE);
}

static int print_version(void) {
  static const char text[] =
      "flourgold " FG_VERSION "\n"
      "Free software under the GNU General Public License, version 3 or later; no warranty.\n";
  char message[512];
  if (fg_write_file("/dev/stdout", text, sizeof text - 1, message, sizeof message) != FG_OK)
    return fg_call_fail("%s", message);
  return FG_EXIT_DONE;
}

static bool asks_version(const char *word) {
  return strcmp(word, "--version") == 0 || strcmp(word, "-V") == 0 || strcmp(word, "version") == 0;
}

int main(int argc, char **argv) {
  char message[512];
  fg_call call;
  fg_init();
  catch_signals();
  (void)atexit(on_exit_at_work);
  if (argc >= 2 && asks_version(argv[1]))
    return print_version();
  int code = FG_EXIT_WRONG;
  if (!fg_call_read(&call, argc, argv, message, sizeof message))
    (void)fg_call_fail("%s", message);
  else if (call.help || !call.command->run)
    code = fg_help(&call);
  else {
    at_work = true;
    if (!call.quiet)
      fg_screen_progress();
    code = call.command->run(&call);
    at_work = false;
    fg_screen_clear();
  }
  fg_call_free(&call);
  fg_finish();
  return code;
}
