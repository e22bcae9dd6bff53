/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "flourgold/status.h"

const char *fg_status_text(fg_status status) {
  switch (status) {
  case FG_OK:
    return "done";
  case FG_EDOMAIN:
    return "a value lies outside what the formula is made for";
  case FG_ENOROOT:
    return "no solution was found";
  case FG_ESTALL:
    return "the deck stalls";
  case FG_ESCENARIO:
    return "the scenario or the command line is wrong";
  case FG_EIO:
    return "a file could not be read or written";
  case FG_EMEMORY:
    return "memory ran out";
  }
  return "an unknown fault";
}
