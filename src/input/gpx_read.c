/* SPDX-License-Identifier: GPL-3.0-or-later */
/* Readings from the waypoints of a GPX file (GPX 1.1 schema, topografix.com/GPX/1/1), by expat.
 * A document type declaration ends the reading: without one there is no entity to expand and
 * nothing to fetch. */
#include <ctype.h>
#include <limits.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <strings.h>

#include <expat.h>

#include "core/complain.h"
#include "core/faults.h"
#include "core/number.h"
#include "core/text.h"
#include "input/readings_internal.h"

enum { DEPTH_MOST = 64, TEXT_MOST = 4096, SEEN_MOST = 12 };

typedef struct gpx_file {
  fg_spots *spots;
  XML_Parser parser;
  int depth;
  int point_depth; /* of the waypoint being read; 0: none */
  bool stopped;
  fg_spot spot;
  bool placed;    /* its position was right */
  char value[64]; /* text of the reading's own element */
  char pan[64];
  char text[TEXT_MOST]; /* of the element being read */
  size_t text_length;
  char comment[2][TEXT_MOST];         /* cmt and desc */
  char seen[SEEN_MOST][FG_SPOT_NAME]; /* elements of waypoints, for messages */
  size_t seen_count;
} gpx_file;

static int line_of(const gpx_file *g) {
  const XML_Size line = XML_GetCurrentLineNumber(g->parser);
  return line < INT_MAX ? (int)line : INT_MAX;
}

static void stop(gpx_file *g, const char *why) {
  if (!g->stopped)
    fg_complain(g->spots->complaints, "%s:%d: %s", g->spots->path, line_of(g), why);
  g->stopped = true;
  (void)XML_StopParser(g->parser, XML_FALSE);
}

static void XMLCALL on_doctype(void *context, const XML_Char *name, const XML_Char *system,
                               const XML_Char *public, int internal) {
  (void)name;
  (void)system;
  (void)public;
  (void)internal;
  stop(context, "a document type declaration; GPX has none, and its entities are not expanded");
}

/* The name without its namespace's prefix. */
static const char *local_name(const char *name) {
  const char *colon = strrchr(name, ':');
  return colon ? colon + 1 : name;
}

/* ---- Elements ----------------------------------------------------------------------------- */

static bool read_degrees(gpx_file *g, const char **attributes, const char *name, double most,
                         double *value) {
  const char *text = NULL;
  for (size_t i = 0; attributes[i]; i += 2)
    if (strcmp(attributes[i], name) == 0)
      text = attributes[i + 1];
  char message[256];
  const char *rest;
  if (!text) {
    fg_complain(g->spots->complaints, "%s:%d: a waypoint without %s", g->spots->path, line_of(g),
                name);
    return false;
  }
  if (!fg_number_scan(text, value, &rest, message, sizeof message) ||
      *fg_skip_blanks(rest) != '\0') {
    char quoted[FG_QUOTED_MAX];
    fg_complain(g->spots->complaints, "%s:%d: %s=%s is not a number of degrees", g->spots->path,
                line_of(g), name, fg_quoted(text, quoted));
    return false;
  }
  if (fabs(*value) <= most)
    return true;
  fg_complain(g->spots->complaints, "%s:%d: %s %g is beyond %g%s", g->spots->path, line_of(g),
              most < 100.0 ? "latitude" : "longitude", *value, most,
              most < 100.0 && fabs(*value) <= 180.0 ? "; are latitude and longitude swapped?" : "");
  return false;
}

static void begin_point(gpx_file *g, const char **attributes) {
  g->point_depth = g->depth;
  g->spot = (fg_spot){.line = line_of(g), .value = (double)NAN, .pan = (double)NAN};
  g->value[0] = g->pan[0] = g->comment[0][0] = g->comment[1][0] = '\0';
  const bool latitude = read_degrees(g, attributes, "lat", 90.0, &g->spot.y);
  const bool longitude = read_degrees(g, attributes, "lon", 180.0, &g->spot.x);
  g->placed = latitude && longitude;
}

static void XMLCALL on_start(void *context, const XML_Char *name, const XML_Char **attributes) {
  gpx_file *g = context;
  const char *local = local_name(name);
  if (g->stopped)
    return;
  g->text_length = 0;
  g->text[0] = '\0';
  if (++g->depth > DEPTH_MOST)
    stop(g, "elements lie more than 64 deep in each other");
  else if (g->depth == 1 && strcmp(local, "gpx") != 0)
    stop(g, "this XML is not GPX: its outermost element must be gpx");
  else if (strcmp(local, "wpt") == 0 && g->point_depth == 0)
    begin_point(g, attributes);
  else if (strcmp(local, "trkpt") == 0 || strcmp(local, "rtept") == 0)
    ++g->spots->made.track_points;
}

static void XMLCALL on_text(void *context, const XML_Char *text, int length) {
  gpx_file *g = context;
  if (g->stopped || g->point_depth == 0)
    return;
  const size_t more = (size_t)length;
  if (more >= TEXT_MOST - g->text_length) {
    stop(g, "the text of a waypoint's element is longer than 4 kB");
    return;
  }
  memcpy(g->text + g->text_length, text, more);
  g->text_length += more;
  g->text[g->text_length] = '\0';
}

static bool is_letter(char c) { return isalpha((unsigned char)c) != 0; }

/* Whether a word, whatever stands behind it, is `wanted` or its plural. */
static bool is_word(const char *word, size_t length, const char *wanted) {
  const size_t wanted_length = strlen(wanted);
  const bool plural =
      length == wanted_length + 1 && tolower((unsigned char)word[length - 1]) == 's';
  return (length == wanted_length || plural) && strncasecmp(word, wanted, wanted_length) == 0;
}

/* Words that mark old workings, some of them only behind another. */
static const struct {
  const char *before, *word;
} workings_words[] = {
    {NULL, "mine"},    {NULL, "goldmine"},  {NULL, "shaft"},      {NULL, "mineshaft"},
    {NULL, "adit"},    {NULL, "tunnel"},    {NULL, "stope"},      {"old", "working"},
    {"glory", "hole"}, {"prospect", "pit"}, {"prospect", "hole"},
};

/* Whether any word of a name, symbol or type marks old workings. */
static bool tells_workings(const char *text) {
  const char *before = "";
  size_t before_length = 0;
  for (const char *p = text; *p != '\0';) {
    size_t length = 0;
    while (is_letter(p[length]))
      ++length;
    if (length == 0) {
      ++p;
      continue;
    }
    for (size_t i = 0; i < sizeof workings_words / sizeof workings_words[0]; ++i)
      if (is_word(p, length, workings_words[i].word) &&
          (!workings_words[i].before || is_word(before, before_length, workings_words[i].before)))
        return true;
    before = p;
    before_length = length;
    p += length;
  }
  return false;
}

static void note_seen(gpx_file *g, const char *local) {
  for (size_t i = 0; i < g->seen_count; ++i)
    if (strncmp(g->seen[i], local, FG_SPOT_NAME - 1) == 0)
      return;
  if (g->seen_count < SEEN_MOST)
    snprintf(g->seen[g->seen_count++], FG_SPOT_NAME, "%.*s", FG_SPOT_NAME - 1, local);
}

/* Where a value came from; "percent" in any name counts for all. */
static void note_field(char field[static FG_SPOT_NAME], const char *plain) {
  if (field[0] == '\0')
    snprintf(field, FG_SPOT_NAME, "%s", plain);
}

static void end_element(gpx_file *g, const char *local) {
  char plain[FG_SPOT_NAME];
  fg_spot_plain_name(local, plain);
  note_seen(g, local);
  if (fg_spot_is_field(g->spots, FG_SPOT_READING, plain)) {
    snprintf(g->value, sizeof g->value, "%.63s", g->text);
    note_field(g->spots->made.field, plain);
  } else if (fg_spot_is_field(g->spots, FG_SPOT_PAN, plain)) {
    snprintf(g->pan, sizeof g->pan, "%.63s", g->text);
    note_field(g->spots->made.pan, plain);
  }
  if (strcmp(local, "name") == 0)
    fg_spot_set_name(g->spot.name, g->text);
  else if (strcmp(local, "cmt") == 0)
    memcpy(g->comment[0], g->text, g->text_length + 1);
  else if (strcmp(local, "desc") == 0)
    memcpy(g->comment[1], g->text, g->text_length + 1);
  if (strcmp(local, "name") == 0 || strcmp(local, "sym") == 0 || strcmp(local, "type") == 0)
    g->spot.working = g->spot.working || tells_workings(g->text);
}

/* ---- Values ------------------------------------------------------------------------------- */

/* The number at p as text: an optional "=" or ":", then a number with an optional "%". */
static bool number_after(const char *p, char *out, size_t size) {
  p += strspn(p, " \t");
  if (*p == '=' || *p == ':')
    p += 1 + strspn(p + 1, " \t");
  const size_t length = strspn(p, "+-.0123456789eE");
  if (length == 0 || length + 2 > size || (!isdigit((unsigned char)*p) && !strchr("+-.", *p)))
    return false;
  const size_t sign = p[length + strspn(p + length, " ")] == '%';
  snprintf(out, size, "%.*s%s", (int)length, p, sign ? "%" : "");
  return true;
}

/* "NAME=number" in free text, for any name of the field. */
static bool find_in_text(gpx_file *g, fg_spot_field field, const char *text, char *out,
                         size_t size) {
  for (const char *p = text; *p != '\0';) {
    const size_t length = strspn(p, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ_");
    if (length == 0) {
      ++p;
      continue;
    }
    char word[FG_SPOT_NAME];
    char plain[FG_SPOT_NAME];
    /* "black sand" is written with a blank as well. */
    const size_t two = strncasecmp(p, "black sand", 10) == 0 ? 10 : length;
    snprintf(word, sizeof word, "%.*s", two < FG_SPOT_NAME ? (int)two : FG_SPOT_NAME - 1, p);
    fg_spot_plain_name(word, plain);
    p += two;
    if (fg_spot_is_field(g->spots, field, plain) && number_after(p, out, size)) {
      note_field(field == FG_SPOT_READING ? g->spots->made.field : g->spots->made.pan, plain);
      return true;
    }
  }
  return false;
}

/* Text of one of the elements that hold words for people: it need not be a number. */
static bool is_number_text(const char *text) {
  char message[256];
  double value;
  const char *rest;
  if (!fg_number_scan(text, &value, &rest, message, sizeof message))
    return false;
  rest = fg_skip_blanks(rest);
  rest += *rest == '%';
  return *fg_skip_blanks(rest) == '\0';
}

static void trim_text(char *text) {
  const size_t from = strspn(text, " \t\r\n");
  size_t length = strlen(text);
  while (length > from && strchr(" \t\r\n", text[length - 1]))
    --length;
  memmove(text, text + from, length - from);
  text[length - from] = '\0';
}

static double value_of(gpx_file *g, fg_spot_field field, char *own) {
  static const char *const words[] = {"name", "cmt", "desc", "sym", "type", "src"};
  const char *asked = field == FG_SPOT_READING ? g->spots->options->field : g->spots->options->pan;
  char found[64];
  trim_text(own);
  for (size_t i = 0; asked && i < sizeof words / sizeof words[0]; ++i)
    if (strcmp(asked, words[i]) == 0 && !is_number_text(own))
      own[0] = '\0';
  if (own[0] != '\0')
    return fg_spot_value(g->spots, field, own, g->spot.line);
  for (int i = 0; i < 2; ++i)
    if (find_in_text(g, field, g->comment[i], found, sizeof found))
      return fg_spot_value(g->spots, field, found, g->spot.line);
  if (find_in_text(g, field, g->spot.name, found, sizeof found))
    return fg_spot_value(g->spots, field, found, g->spot.line);
  return (double)NAN;
}

static void end_point(gpx_file *g) {
  g->point_depth = 0;
  g->spot.value = value_of(g, FG_SPOT_READING, g->value);
  g->spot.pan = value_of(g, FG_SPOT_PAN, g->pan);
  if (g->placed)
    fg_spots_add(g->spots, &g->spot);
  if (g->spots->full || g->spots->failed) {
    g->stopped = true;
    (void)XML_StopParser(g->parser, XML_FALSE);
  }
}

static void XMLCALL on_end(void *context, const XML_Char *name) {
  gpx_file *g = context;
  if (g->stopped)
    return;
  if (g->point_depth > 0 && g->depth == g->point_depth)
    end_point(g);
  else if (g->point_depth > 0)
    end_element(g, local_name(name));
  --g->depth;
  g->text_length = 0;
  g->text[0] = '\0';
}

/* ---- The file ----------------------------------------------------------------------------- */

static void complain_empty(const gpx_file *g) {
  const fg_spots *s = g->spots;
  size_t counted = 0;
  for (size_t i = 0; i < s->count; ++i)
    counted += isnan(s->list[i].value) ? 0 : 1;
  if (counted > 0 || s->complaints->count > 0)
    return;
  if (s->count == 0) {
    fg_complain(s->complaints, "%s: no waypoint in it%s; readings are taken from waypoints (wpt)",
                s->path, s->made.track_points > 0 ? ", only tracks or routes" : "");
    return;
  }
  char list[SEEN_MOST * FG_SPOT_NAME + 2 * SEEN_MOST] = "";
  for (size_t i = 0; i < g->seen_count; ++i) {
    const size_t used = strlen(list);
    snprintf(list + used, sizeof list - used, "%s%s", i > 0 ? ", " : "", g->seen[i]);
  }
  fg_complain(s->complaints,
              "%s: no reading in any waypoint (there are %zu). Write it into the comment as "
              "reading=12.5, or name the element that holds it with --field%s%s",
              s->path, s->count, list[0] != '\0' ? "; there are: " : "", list);
}

void fg_spots_read_gpx(fg_spots *spots, const char *bytes, size_t length) {
  gpx_file g = {.spots = spots, .parser = XML_ParserCreate(NULL)};
  spots->made.degrees = true;
  if (!g.parser || length > INT_MAX) {
    spots->failed = true;
    XML_ParserFree(g.parser);
    return;
  }
  XML_SetUserData(g.parser, &g);
  XML_SetElementHandler(g.parser, on_start, on_end);
  XML_SetCharacterDataHandler(g.parser, on_text);
  XML_SetStartDoctypeDeclHandler(g.parser, on_doctype);
  (void)XML_SetParamEntityParsing(g.parser, XML_PARAM_ENTITY_PARSING_NEVER);
  /* In one piece: what is left of an unfinished token is then never scanned twice. */
  if (XML_Parse(g.parser, bytes, (int)length, XML_TRUE) != XML_STATUS_OK && !g.stopped) {
    const enum XML_Error error = XML_GetErrorCode(g.parser);
    if (error == XML_ERROR_NO_MEMORY)
      spots->failed = true;
    else
      fg_complain(spots->complaints, "%s:%d: not well-formed XML: %s", spots->path, line_of(&g),
                  XML_ErrorString(error));
  }
  if (!g.stopped)
    complain_empty(&g);
  XML_ParserFree(g.parser);
}
