/* SPDX-License-Identifier: GPL-3.0-or-later */
/* From the data to a picture in a file, by gnuplot. */
#include "report/draw.h"

#include <errno.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include "core/text.h"
#include "core/write.h"
#include "input/datadir.h"
#include "report/run_program.h"

enum { MESSAGE_LINES = 6, MESSAGE_COLUMNS = 200 };
static const double patience_s = 30.0;

/* A kind of picture: how its file ends, and what whole content begins and ends with. */
typedef struct picture_kind {
  const char *ending;
  const char *output; /* tells the script the kind, and to write to standard output */
  const char *head, *tail;
  size_t head_length, tail_length;
} picture_kind;

static const picture_kind kinds[] = {
    {".svg", "-.svg", "<?xml", "</svg>", 5, 6},
    {".png", "-.png", "\x89PNG", "IEND\xAE\x42\x60\x82", 4, 8},
};

static const picture_kind *kind_of(const char *path) {
  size_t length = strlen(path);
  for (size_t i = 0; i < sizeof kinds / sizeof kinds[0]; ++i) {
    size_t ending = strlen(kinds[i].ending);
    if (length > ending && path[length - ending - 1] != '/' &&
        strcasecmp(path + length - ending, kinds[i].ending) == 0)
      return &kinds[i];
  }
  return NULL;
}

static fg_status check_folder(const char *path, char *message, size_t size) {
  const char *slash = strrchr(path, '/');
  size_t length = !slash ? 1 : slash == path ? 1 : (size_t)(slash - path);
  char folder[PATH_MAX];
  (void)snprintf(folder, sizeof folder, "%.*s", (int)length, !slash ? "." : path);
  struct stat status;
  const char *why = NULL;
  if (stat(folder, &status) != 0)
    why = errno == ENOENT ? "there is no such folder" : strerror(errno);
  else if (!S_ISDIR(status.st_mode))
    why = "that is not a folder";
  else if (access(folder, W_OK | X_OK) != 0)
    why = errno == EROFS ? "the disk is read-only" : "no permission to write there";
  if (!why)
    return FG_OK;
  (void)snprintf(message, size, "cannot write %s: folder %s: %s", path, folder, why);
  return FG_EIO;
}

/* The data have to lie in a plain file for gnuplot to read; the picture may replace one. */
static fg_status check_file(const char *path, bool data, char *message, size_t size) {
  struct stat status;
  const char *why = NULL;
  if (stat(path, &status) != 0)
    return FG_OK;
  if (S_ISDIR(status.st_mode))
    why = "it is a folder; give a file name";
  else if (data && !S_ISREG(status.st_mode))
    why = "the picture's data go there, and it is not a plain file";
  else if (access(path, W_OK) != 0)
    why = "no permission to write to it";
  if (!why)
    return FG_OK;
  (void)snprintf(message, size, "cannot write %s: %s", path, why);
  return FG_EIO;
}

/* False when the name does not fit.  A name with a folder in front cannot be taken for a pipe,
 * standard input or another special name of gnuplot's. */
static bool plain_name(const char *path, const char *ending, char name[PATH_MAX]) {
  int length = snprintf(name, PATH_MAX, "%s%s%s", path[0] == '/' ? "" : "./", path, ending);
  return length >= 0 && length < PATH_MAX;
}

fg_status fg_plot_of(fg_report *report, fg_unit_system units, const char *title, char *subtitle,
                     fg_plot *plot) {
  fg_plot made = {.title = strdup(title), .subtitle = subtitle};
  fg_status status = report && made.title && subtitle ? FG_OK : FG_EMEMORY;
  if (status == FG_OK)
    status = fg_report_render(report, FG_FORMAT_CSV, units, &made.csv, &made.length);
  fg_report_free(report);
  if (status == FG_OK)
    *plot = made;
  else
    fg_plot_free(&made);
  return status;
}

void fg_plot_free(fg_plot *plot) {
  free(plot->csv);
  free(plot->title);
  free(plot->subtitle);
  *plot = (fg_plot){0};
}

fg_status fg_plot_target(const char *path, char *message, size_t size) {
  char data[PATH_MAX];
  if (!kind_of(path)) {
    (void)snprintf(message, size, "--output '%s': the name of a picture ends in .svg or .png",
                   path);
    return FG_ESCENARIO;
  }
  if (!plain_name(path, ".csv", data)) {
    (void)snprintf(message, size, "cannot write %s: the name is too long", path);
    return FG_EIO;
  }
  fg_status status = check_folder(path, message, size);
  if (status == FG_OK)
    status = check_file(path, false, message, size);
  return status == FG_OK ? check_file(data, true, message, size) : status;
}

/* The first lines of what gnuplot had to say, without what is not text. */
static char *first_lines(const char *err) {
  fg_text text = {0};
  for (int line = 0; line < MESSAGE_LINES && *err != '\0';) {
    size_t length = strcspn(err, "\n");
    char part[MESSAGE_COLUMNS + 1];
    (void)snprintf(part, sizeof part, "%.*s",
                   length < MESSAGE_COLUMNS ? (int)length : MESSAGE_COLUMNS, err);
    for (char *p = part; *p != '\0'; ++p)
      if ((unsigned char)*p < 0x20 || (unsigned char)*p == 0x7F)
        *p = ' ';
    if (part[strspn(part, " ^")] != '\0') {
      fg_text_add(&text, "\n  gnuplot: ");
      fg_text_add_valid(&text, part);
      ++line;
    }
    err += length + (err[length] == '\n');
  }
  return fg_text_take(&text, NULL);
}

static fg_status not_started(const char *path, int error, char *message, size_t size) {
  if (error == ENOENT || error == EACCES)
    (void)snprintf(message, size,
                   "%s was not drawn: gnuplot is not installed; on Debian and its like: "
                   "apt-get install gnuplot-nox. The data are in %s.csv",
                   path, path);
  else
    (void)snprintf(message, size,
                   "%s was not drawn: gnuplot cannot be run: %s. The data are in %s.csv", path,
                   strerror(error), path);
  return FG_EIO;
}

static fg_status not_drawn(const char *path, const fg_run *run, char *message, size_t size) {
  char how[64];
  if (run->timed_out)
    (void)snprintf(how, sizeof how, "gnuplot did not end within %g s", patience_s);
  else if (WIFSIGNALED(run->status))
    (void)snprintf(how, sizeof how, "gnuplot died of signal %d", WTERMSIG(run->status));
  else if (WEXITSTATUS(run->status) != 0)
    (void)snprintf(how, sizeof how, "gnuplot failed (exit %d)", WEXITSTATUS(run->status));
  else
    (void)snprintf(how, sizeof how, "gnuplot made no whole picture");
  char *lines = first_lines(run->err);
  (void)snprintf(message, size, "%s was not drawn: %s. The data are in %s.csv%s", path, how, path,
                 lines ? lines : "");
  free(lines);
  return FG_EIO;
}

static bool is_whole(const picture_kind *kind, const fg_run *run) {
  size_t tail = kind->tail_length;
  size_t head = kind->head_length;
  size_t length = run->out_length;
  while (length > 0 && run->out[length - 1] == '\n')
    --length;
  return !run->timed_out && WIFEXITED(run->status) && WEXITSTATUS(run->status) == 0 &&
         length >= head + tail && memcmp(run->out, kind->head, head) == 0 &&
         memcmp(run->out + length - tail, kind->tail, tail) == 0;
}

static fg_status run_script(const char *script, const char *data, const fg_plot *plot,
                            const char *path, char *message, size_t size) {
  const picture_kind *kind = kind_of(path);
  /* -d: no start-up files. */
  const char *const arguments[] = {"gnuplot",    "-d",        "-c",           script, data,
                                   kind->output, plot->title, plot->subtitle, NULL};
  fg_run run;
  fg_status status = fg_run_program(arguments, patience_s, &run);
  if (status == FG_EIO)
    return not_started(path, run.error, message, size);
  if (status != FG_OK) {
    (void)snprintf(message, size, "%s was not drawn: %s", path, fg_status_text(status));
    return status;
  }
  if (is_whole(kind, &run))
    status = fg_write_file(path, run.out, run.out_length, message, size);
  else
    status = not_drawn(path, &run, message, size);
  fg_run_free(&run);
  return status;
}

fg_status fg_plot_draw(const char *name, const fg_plot *plot, const char *path, char *message,
                       size_t size) {
  char data[PATH_MAX];
  char found[PATH_MAX];
  char script[PATH_MAX];
  char relative[64];
  fg_status status = fg_plot_target(path, message, size);
  if (status != FG_OK)
    return status;
  if (!plain_name(path, ".csv", data)) {
    (void)snprintf(message, size, "cannot write %s.csv: the name is too long", path);
    return FG_EIO;
  }
  status = fg_write_file(data, plot->csv, plot->length, message, size);
  if (status != FG_OK)
    return status;
  (void)snprintf(relative, sizeof relative, "plots/%s.gp", name);
  if (fg_data_file(relative, found, sizeof found) != FG_OK || !plain_name(found, "", script)) {
    (void)snprintf(
        message, size,
        "%s was not drawn: %s, which comes with the program, is not found (the environment "
        "variable FLOURGOLD_DATA can name the folder above it). The data are in %s.csv",
        path, relative, path);
    return FG_EIO;
  }
  return run_script(script, data, plot, path, message, size);
}
