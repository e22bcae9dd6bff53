/* SPDX-License-Identifier: GPL-3.0-or-later */
/* start -o FILE: asks plain questions and writes a scenario. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <strings.h>
#include <sys/stat.h>
#include <unistd.h>

#include "cli/cli.h"
#include "cli/start.h"
#include "core/slurp.h"
#include "core/write.h"
#include "flourgold/complaints.h"
#include "flourgold/scenario.h"
#include "flourgold/status.h"
#include "scenario/settings_table.h"

enum {
  QUESTIONS_MAX = 32,
  MESSAGE = 400,
  ROUNDS_MAX = 20,
  MISSES_MANY = 3, /* then the ways out are told again */
  WRAP = 72,
  LINE_MAX_BYTES = 4096,
  ANSWERS_MOST = 1 << 20
};

/* Where answers come from, and those so far. */
typedef struct interview {
  FILE *in;
  const char *name; /* of the file of answers; NULL: a person at a terminal */
  long line;
  char answers[QUESTIONS_MAX][FG_ANSWER_MAX];
} interview;

typedef enum got { GOT_LINE, GOT_END, GOT_LONG } got;

/* The rest of a line of at most LINE_MAX_BYTES, without its end.  A line that is longer, or
 * holds a zero byte, is no answer. */
static got read_raw(interview *v, char line[static LINE_MAX_BYTES]) {
  size_t used = 0;
  bool unfit = false;
  for (int c = fgetc(v->in); c != '\n'; c = fgetc(v->in)) {
    if (c == EOF && (used == 0 || ferror(v->in)))
      return GOT_END;
    if (c == EOF)
      break;
    unfit = unfit || c == '\0';
    if (used + 1 == LINE_MAX_BYTES)
      return GOT_LONG;
    line[used++] = (char)c;
  }
  line[used] = '\0';
  ++v->line;
  return unfit ? GOT_LONG : GOT_LINE;
}

/* One line without blanks at its ends.  Of a file of answers, lines that begin with # are
 * passed over. */
static got read_line(interview *v, char answer[static FG_ANSWER_MAX]) {
  char line[LINE_MAX_BYTES];
  for (;;) {
    const got result = read_raw(v, line);
    if (result != GOT_LINE)
      return result;
    const char *start = line + strspn(line, " \t\r");
    size_t used = strlen(start);
    while (used > 0 && strchr(" \t\r", start[used - 1]))
      --used;
    if (v->name && *start == '#')
      continue;
    if (used >= FG_ANSWER_MAX)
      return GOT_LONG;
    memcpy(answer, start, used);
    answer[used] = '\0';
    return GOT_LINE;
  }
}

/* Words at a width, for the screen. */
static void say(const char *text) {
  size_t used = 0;
  while (*text != '\0') {
    const size_t length = strcspn(text, " ");
    if (used > 0 && used + 1 + length > WRAP) {
      (void)fputc('\n', stderr);
      used = 0;
    }
    fprintf(stderr, "%s%.*s", used == 0 ? "  " : " ", (int)length, text);
    used += length + (used == 0 ? 2 : 1);
    text += length + (text[length] == ' ');
  }
  (void)fputc('\n', stderr);
}

static void show(size_t i) {
  const fg_question *q = &fg_questions[i];
  fprintf(stderr, "\n%zu of %zu: %s\n", i + 1, fg_questions_count, q->question);
  say(q->how);
}

/* Characters that would break the file, or a terminal. */
static bool plain(const char *answer) {
  for (const char *p = answer; *p != '\0'; ++p)
    if ((unsigned char)*p < 0x20 || *p == 0x7f || *p == '\\')
      return false;
  return true;
}

static bool is_one_of(const char *answer, const char *const words[]) {
  for (; *words; ++words)
    if (strcasecmp(answer, *words) == 0)
      return true;
  return false;
}

static int refuse(const interview *v, const fg_question *q, const char *reason) {
  return fg_call_fail("%s:%ld: %s: %s", v->name, v->line, fg_settings[q->row].key, reason);
}

typedef enum asked { ASKED_DONE, ASKED_BACK, ASKED_AGAIN, ASKED_END } asked;

/* What a question has come to so far. */
typedef struct attempt {
  char doubted[FG_ANSWER_MAX]; /* an answer that waits for "yes"; "" when none does */
  int misses;
  char message[MESSAGE];
} attempt;

static asked accept(interview *v, size_t i, const char *taken) {
  (void)snprintf(v->answers[i], FG_ANSWER_MAX, "%s", taken);
  return ASKED_DONE;
}

/* Takes an answer; a person is asked once more about one that is hardly meant. */
static asked take(interview *v, size_t i, const char *answer, attempt *at) {
  const fg_question *q = &fg_questions[i];
  char taken[FG_ANSWER_MAX] = "";
  if (!plain(answer)) {
    (void)snprintf(at->message, MESSAGE, "no backslashes or control characters, please");
    return ASKED_AGAIN;
  }
  if (!fg_answer_take(q, answer, taken, at->message, MESSAGE))
    return ASKED_AGAIN;
  const char *doubt = v->name ? NULL : fg_answer_doubt(q, taken);
  if (!doubt)
    return accept(v, i, taken);
  (void)snprintf(at->doubted, FG_ANSWER_MAX, "%s", taken);
  (void)snprintf(at->message, MESSAGE, "%s: %s. Sure? yes, or another answer", taken, doubt);
  return ASKED_AGAIN;
}

static asked judge(interview *v, size_t i, const char *answer, attempt *at) {
  static const char *const unknown[] = {"?", "don't know", "dont know", "unknown", "no idea", NULL};
  static const char *const back[] = {"back", NULL};
  static const char *const yes[] = {"yes", "y", "sure", NULL};
  const bool doubted = at->doubted[0] != '\0';
  at->message[0] = '\0';
  if (doubted && is_one_of(answer, yes))
    return accept(v, i, at->doubted);
  at->doubted[0] = '\0';
  if (answer[0] == '\0')
    return doubted ? ASKED_AGAIN : ASKED_DONE;
  if (is_one_of(answer, back) && i > 0)
    return ASKED_BACK;
  if (is_one_of(answer, back))
    (void)snprintf(at->message, MESSAGE, "this is the first question");
  else if (!is_one_of(answer, unknown))
    return take(v, i, answer, at);
  else {
    if (!v->name)
      say(fg_answer_assumed(&fg_questions[i], at->message, MESSAGE));
    return accept(v, i, "?");
  }
  return ASKED_AGAIN;
}

static void say_again(attempt *at) {
  if (at->doubted[0] == '\0' && at->message[0] != '\0') {
    (void)fputs("\n  That does not fit.\n", stderr);
    ++at->misses;
  }
  say(at->message);
  if (at->misses >= MISSES_MANY)
    say("? if you do not know; back for the question before.");
}

/* Asks until the answer fits; a file of answers has one try. */
static asked ask(interview *v, size_t i) {
  const fg_question *q = &fg_questions[i];
  attempt at = {.misses = 0};
  if (!v->name)
    show(i);
  for (;;) {
    char answer[FG_ANSWER_MAX] = "";
    if (!v->name)
      fprintf(stderr, "  [%s] > ", at.doubted[0] != '\0' ? "no" : v->answers[i]);
    (void)fflush(stderr);
    const got what = read_line(v, answer);
    asked result = ASKED_AGAIN;
    if (what == GOT_END) {
      (void)fg_call_fail("the answers end before question %zu of %zu (%s); nothing was written",
                         i + 1, fg_questions_count, fg_settings[q->row].key);
      return ASKED_END;
    }
    if (what == GOT_LONG)
      (void)snprintf(at.message, MESSAGE, "the answer is too long");
    else
      result = judge(v, i, answer, &at);
    if (result != ASKED_AGAIN)
      return result;
    if (v->name) {
      (void)refuse(v, q, at.message);
      return ASKED_END;
    }
    say_again(&at);
  }
}

/* Every question, back and forth; false when the answers end. */
static bool ask_all(interview *v) {
  for (size_t i = 0; i < fg_questions_count;) {
    const asked result = ask(v, i);
    if (result == ASKED_END)
      return false;
    i = result == ASKED_BACK ? i - 1 : i + 1;
  }
  return true;
}

/* What is wrong with the answers together; true when nothing is.  A person was asked about what is
 * hardly meant already. */
static bool together(const interview *v, const char *path, const char *text) {
  fg_scenario scenario;
  fg_complaints complaints = {0};
  const fg_status status = fg_scenario_read_text(path, text, &scenario, &complaints);
  if (status == FG_OK && !v->name)
    fg_complaints_free(&complaints);
  return fg_call_complain(path, status, &complaints) == 0;
}

/* Asks everything, again while the answers do not go together, and makes the text. */
static int interview_all(interview *v, const char *path, char **text, size_t *length) {
  for (size_t i = 0; i < fg_questions_count; ++i)
    (void)snprintf(v->answers[i], FG_ANSWER_MAX, "%s", fg_questions[i].usual);
  for (int round = 0; round < ROUNDS_MAX; ++round) {
    fg_text out = {0};
    if (!ask_all(v))
      return FG_EXIT_WRONG;
    fg_start_scenario((const char(*)[FG_ANSWER_MAX])v->answers, &out);
    *text = fg_text_take(&out, length);
    if (!*text)
      return fg_call_fail("%s", fg_status_text(FG_EMEMORY));
    if (together(v, path, *text))
      return 0;
    free(*text);
    *text = NULL;
    if (v->name)
      return fg_call_fail("%s: these answers do not go together; nothing was written", v->name);
    fprintf(stderr, "\nThese answers do not go together: see above. Once more, please;\n"
                    "Enter keeps what you said.\n");
  }
  return fg_call_fail("nothing was written");
}

static int write_scenario(const fg_call *call, const char *text, size_t length) {
  char message[MESSAGE];
  if (fg_call_keeps_old(call) != 0)
    return FG_EXIT_WRONG;
  if (fg_write_file(call->output, text, length, message, sizeof message) != FG_OK)
    return fg_call_fail("%s", message);
  fprintf(stderr, "Wrote %s. Next:\n  flourgold loss %s\n  flourgold measure %s\n", call->output,
          call->output, call->output);
  return FG_EXIT_DONE;
}

static int run(const fg_call *call, interview *v) {
  char *text = NULL;
  size_t length = 0;
  if (!v->name)
    fprintf(stderr,
            "%zu questions. Enter takes the answer in brackets, ? means \"don't know\",\n"
            "back goes one question back, Ctrl-C leaves without writing anything.\n",
            fg_questions_count);
  const int code = interview_all(v, call->output, &text, &length);
  if (code != 0)
    return code;
  const int written = write_scenario(call, text, length);
  free(text);
  return written;
}

/* The answers of a file, read whole first: its size is limited, and a pipe is not waited for. */
static int run_from(const fg_call *call, interview *v, const char *path) {
  char *bytes = NULL, why[MESSAGE] = "";
  size_t length = 0;
  fg_file_identity identity;
  fg_status status = fg_slurp(path, ANSWERS_MOST, &bytes, &length, &identity, why, sizeof why);
  v->name = path;
  v->in = status == FG_OK ? fmemopen(bytes, length, "r") : NULL;
  int code = FG_EXIT_WRONG;
  if (v->in) {
    code = run(call, v);
    (void)fclose(v->in);
  } else
    (void)fg_call_fail("cannot read the answers in %s: %s", path,
                       status == FG_EIO ? why : fg_status_text(FG_EMEMORY));
  free(bytes);
  return code;
}

int fg_cmd_start(fg_call *call) {
  static interview v;
  const char *answers = fg_call_option(call, "--answers");
  if (!call->output || strcmp(call->output, "-") == 0)
    return fg_call_fail("start needs -o FILE for the scenario it writes");
  if (call->format != FG_FORMAT_TEXT)
    return fg_call_fail("start writes a scenario file, so --format does not apply");
  char message[MESSAGE];
  if (fg_write_check(call->output, message, sizeof message) != FG_OK)
    return fg_call_fail("%s", message);
  if (fg_call_keeps_old(call) != 0)
    return FG_EXIT_WRONG;
  v = (interview){.in = stdin};
  if (!answers) {
    v.name = isatty(STDIN_FILENO) ? NULL : "standard input";
    return run(call, &v);
  }
  return run_from(call, &v, answers);
}
