/* SPDX-License-Identifier: GPL-3.0-or-later */
#include "physics/march.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

/* Classes are worked on in blocks of LANES, so that a block's whole depth stays close to the
 * processor and the compiler handles several classes in one instruction.  Arrays over depth and
 * class are laid out [block][layer][lane]; the last block is filled up with idle lanes. */
enum { LANES = 16 };

typedef struct strip_system {
  double *down;   /* coupling of layer j to j - 1 */
  double *up;     /* coupling of layer j to j + 1, over the pivot of j + 1 */
  double *pivot;  /* 1 / pivot; layer 0 without the trap: its plain pivot */
  double *settle; /* [class] step x flux to the cloth per concentration of layer 0 */
  double *recoil; /* [class] e^(-P/2): how the half cell thins out what is not trapped */
  double *leave;  /* [class] step x flux through the surface */
  double *creep;  /* [class] step x flux into a full pocket per concentration of layer 0 */
  double *reach;  /* [class] share of the settling flux that comes to the pocket */
  size_t steps;
  double step_m;
} strip_system;

struct fg_march {
  size_t classes, cells;
  size_t padded; /* classes, rounded up to whole blocks */
  double *mass;  /* [layer] flow carried by a layer over the whole flow */
  double *state; /* concentration */
  double *kept;  /* a state to go back to */
  double kept_x_m;
  double *work;
  double *low_pivot; /* [class] */
  double *trap_gain; /* [class] */
  double *caught;    /* [class] in the strip under way */
  double *left;      /* [class] through the surface, likewise */
  strip_system strip[FG_STRIP_KINDS];
  double x_m;
  fg_march_watch watch;
  void *watch_context;
};

static size_t at(const fg_march *m, size_t layer, size_t k) {
  return (k / LANES * m->cells + layer) * LANES + k % LANES;
}

/* x / (e^x - 1), smooth at 0. */
static double bernoulli(double x) {
  if (fabs(x) < 1e-5)
    return 1.0 - 0.5 * x + x * x / 12.0;
  return x / expm1(x);
}

/* Flux upward between two layers is out*below - in*above, by volume per area (m/s). */
typedef struct face {
  double out, in;
} face;

static face fitted_face(double sinking, double mixing, double width) {
  if (mixing <= 0.0 || fabs(sinking) * width > 600.0 * mixing)
    return (face){fmax(-sinking, 0.0), fmax(sinking, 0.0)};
  const double peclet = -sinking * width / mixing;
  return (face){mixing / width * bernoulli(-peclet), mixing / width * bernoulli(peclet)};
}

static double half_cell_recoil(double sinking, double mixing, double width) {
  if (mixing <= 0.0)
    return 0.0;
  return exp(-0.5 * sinking * width / mixing);
}

/* (1 - e^-x)/x, smooth at 0. */
static double mean_decay(double x) { return fabs(x) < 1e-9 ? 1.0 - 0.5 * x : -expm1(-x) / x; }

/* Speed at which the lowest layer empties into a full pocket.  The grains within the skin sink in
 * at `creep`; how much denser they lie there than in the layer follows from the profile
 * exp(-w z/D) in which settling and mixing balance.  None where the grain rises. */
static double creep_speed(double creep, double skin, double sinking, double mixing, double width) {
  if (!(creep > 0.0 && sinking > 0.0))
    return 0.0;
  const double denser =
      mixing > 0.0 ? mean_decay(sinking * skin / mixing) / mean_decay(sinking * width / mixing)
                   : width / skin;
  return creep * denser;
}

/* Speed at which the uppermost layer empties through the surface, from which grains leave at
 * `lift`: through its half cell the flux -w c - D dc/dz is the same at any height. */
static double leaving_speed(double lift, double sinking, double mixing, double width) {
  if (!(lift > 0.0))
    return 0.0;
  if (mixing <= 0.0)
    return sinking > 0.0 ? 0.0 : sinking < 0.0 ? -sinking : lift;
  const double x = 0.5 * sinking * width / mixing;
  if (x > 600.0)
    return 0.0;
  const double span = 0.5 * width / mixing * (fabs(x) < 1e-9 ? 1.0 + 0.5 * x : expm1(x) / x);
  return lift / (exp(x) + lift * span);
}

static fg_status allocate_strip(strip_system *s, size_t padded, size_t cells) {
  const size_t n = padded * cells;
  s->down = calloc(n, sizeof *s->down);
  s->up = calloc(n, sizeof *s->up);
  s->pivot = calloc(n, sizeof *s->pivot);
  s->settle = calloc(padded, sizeof *s->settle);
  s->recoil = calloc(padded, sizeof *s->recoil);
  s->leave = calloc(padded, sizeof *s->leave);
  s->creep = calloc(padded, sizeof *s->creep);
  s->reach = calloc(padded, sizeof *s->reach);
  const bool room =
      s->down && s->up && s->pivot && s->settle && s->recoil && s->leave && s->creep && s->reach;
  return room ? FG_OK : FG_EMEMORY;
}

static void set_reach(const fg_march_setup *setup, int kind, double width, double flow,
                      strip_system *s) {
  for (size_t k = 0; k < setup->classes; ++k)
    s->reach[k] = setup->settled[kind] ? setup->settled[kind][k] : 1.0;
  for (size_t k = 0; setup->creep_m_s && k < setup->classes; ++k)
    s->creep[k] = s->step_m / flow *
                  creep_speed(setup->creep_m_s[k], setup->skin_m[k], setup->sinking_m_s[kind][k],
                              setup->mixing_m2_s[kind], width);
}

/* The system of one class: mass_j c_j - step (fluxes) = mass_j c_j(before), with fluxes over
 * the whole flow; eliminated from the surface down.  A pivot is what leaves its layer downward
 * plus `rest`: what the layer and those above it carry on or lose.  Both are summed from positive
 * parts alone (Grassmann, Taksar & Heyman 1985), for mixing may pass a thousand million times
 * what the flow carries and a difference would lose the flow. */
static void factor_class(fg_march *m, strip_system *s, size_t k, double sinking, double mixing,
                         double lift, double width, double flow) {
  const double scale = s->step_m / flow;
  const face f = fitted_face(sinking, mixing, width);
  const size_t top = m->cells - 1;
  s->leave[k] = leaving_speed(lift, sinking, mixing, width) * scale;
  s->settle[k] = sinking > 0.0 ? sinking * scale : 0.0;
  s->recoil[k] = sinking > 0.0 ? half_cell_recoil(sinking, mixing, width) : 0.0;
  double rest = m->mass[top] + s->leave[k];
  for (size_t j = top; j > 0; --j) {
    const size_t here = at(m, j, k);
    const double pivot = rest + f.in * scale;
    s->pivot[here] = 1.0 / pivot;
    s->down[here] = f.out * scale;
    s->up[at(m, j - 1, k)] = f.in * scale / pivot;
    rest = m->mass[j - 1] + f.out * scale * rest / pivot;
  }
  s->pivot[at(m, 0, k)] = rest;
}

static bool setup_sensible(const fg_march_setup *setup) {
  if (setup->classes == 0 || setup->cells < 2 || !(setup->depth_m > 0.0))
    return false;
  for (size_t j = 0; j < setup->cells; ++j)
    if (!(setup->speed_m_s[j] > 0.0) || !isfinite(setup->speed_m_s[j]))
      return false;
  for (int kind = 0; kind < FG_STRIP_KINDS; ++kind) {
    if (setup->steps[kind] == 0)
      continue;
    if (!(setup->length_m[kind] > 0.0) || !(setup->mixing_m2_s[kind] >= 0.0))
      return false;
    for (size_t k = 0; k < setup->classes; ++k)
      if (!isfinite(setup->sinking_m_s[kind][k]))
        return false;
  }
  return true;
}

static fg_status build(fg_march *m, const fg_march_setup *setup) {
  const size_t n = m->padded * m->cells;
  m->mass = calloc(m->cells, sizeof *m->mass);
  m->state = calloc(n, sizeof *m->state);
  m->kept = calloc(n, sizeof *m->kept);
  m->work = calloc(n, sizeof *m->work);
  m->low_pivot = calloc(m->padded, sizeof *m->low_pivot);
  m->trap_gain = calloc(m->padded, sizeof *m->trap_gain);
  m->caught = calloc(m->padded, sizeof *m->caught);
  m->left = calloc(m->padded, sizeof *m->left);
  if (!m->mass || !m->state || !m->kept || !m->work || !m->low_pivot || !m->trap_gain ||
      !m->caught || !m->left)
    return FG_EMEMORY;
  const double width = setup->depth_m / (double)m->cells;
  double flow = 0.0;
  for (size_t j = 0; j < m->cells; ++j)
    flow += setup->speed_m_s[j] * width;
  for (size_t j = 0; j < m->cells; ++j)
    m->mass[j] = setup->speed_m_s[j] * width / flow;
  for (int kind = 0; kind < FG_STRIP_KINDS; ++kind) {
    strip_system *s = &m->strip[kind];
    if (setup->steps[kind] == 0)
      continue;
    const fg_status status = allocate_strip(s, m->padded, m->cells);
    if (status != FG_OK)
      return status;
    s->steps = setup->steps[kind];
    s->step_m = setup->length_m[kind] / (double)s->steps;
    for (size_t k = 0; k < m->classes; ++k)
      factor_class(m, s, k, setup->sinking_m_s[kind][k], setup->mixing_m2_s[kind],
                   setup->lift_m_s[kind] ? setup->lift_m_s[kind][k] : 0.0, width, flow);
    set_reach(setup, kind, width, flow, s);
  }
  return FG_OK;
}

fg_status fg_march_new(const fg_march_setup *setup, fg_march **march) {
  if (!setup_sensible(setup))
    return FG_EDOMAIN;
  fg_march *m = calloc(1, sizeof *m);
  if (!m)
    return FG_EMEMORY;
  m->classes = setup->classes;
  m->cells = setup->cells;
  m->padded = (setup->classes + LANES - 1) / LANES * LANES;
  const fg_status status = build(m, setup);
  if (status != FG_OK) {
    fg_march_free(m);
    return status;
  }
  *march = m;
  return FG_OK;
}

void fg_march_free(fg_march *march) {
  if (!march)
    return;
  for (int kind = 0; kind < FG_STRIP_KINDS; ++kind) {
    strip_system *s = &march->strip[kind];
    free(s->down);
    free(s->up);
    free(s->pivot);
    free(s->settle);
    free(s->recoil);
    free(s->leave);
    free(s->creep);
    free(s->reach);
  }
  free(march->mass);
  free(march->state);
  free(march->kept);
  free(march->work);
  free(march->low_pivot);
  free(march->trap_gain);
  free(march->caught);
  free(march->left);
  free(march);
}

void fg_march_observe(fg_march *march, fg_march_watch watch, void *context) {
  march->watch = watch;
  march->watch_context = context;
}

static void show(const fg_march *m) {
  if (m->watch)
    m->watch(m, m->x_m, m->watch_context);
}

void fg_march_begin(fg_march *march, const double *inflow) {
  march->x_m = 0.0;
  for (size_t k = 0; k < march->classes; ++k)
    for (size_t j = 0; j < march->cells; ++j)
      march->state[at(march, j, k)] = inflow ? inflow[k] : 1.0;
  show(march);
}

void fg_march_add_mixed(fg_march *march, const double *flux) {
  for (size_t k = 0; k < march->classes; ++k)
    for (size_t j = 0; j < march->cells; ++j)
      march->state[at(march, j, k)] += flux[k];
}

void fg_march_add_low(fg_march *march, const double *flux) {
  for (size_t k = 0; k < march->classes; ++k)
    march->state[at(march, 0, k)] += flux[k] / march->mass[0];
}

/* Flux held per concentration in the lowest layer: settle * trap/(trap + (1 - trap) recoil), the
 * steady half-cell profile to the cloth. */
static double held_flux(double settle, double recoil, double trap) {
  const double held = trap + (1.0 - trap) * recoil;
  return held > 0.0 ? settle * trap / held : 0.0;
}

/* What this pocket takes in, and the pivot of the lowest layer with it.  Its full part creeps, and
 * takes no more than it would open. */
static void set_pocket(fg_march *m, const strip_system *s, const fg_march_pocket *pocket) {
  for (size_t k = 0; k < m->classes; ++k) {
    const double trap = pocket->trap[k] * s->reach[k];
    const double closed = pocket->closed ? pocket->closed[k] * s->reach[k] : 0.0;
    double gain = held_flux(s->settle[k], s->recoil[k], trap);
    if (closed > 0.0)
      gain =
          fmin(gain + s->creep[k] * closed, held_flux(s->settle[k], s->recoil[k], trap + closed));
    m->trap_gain[k] = gain;
    m->low_pivot[k] = 1.0 / (s->pivot[at(m, 0, k)] + gain);
  }
}

/* From the surface down: the right-hand sides with the layers above eliminated. */
static void eliminate_down(const fg_march *m, const double *restrict c, const double *restrict up,
                           double *restrict y) {
  const size_t top = (m->cells - 1) * LANES;
  for (size_t l = 0; l < LANES; ++l)
    y[top + l] = m->mass[m->cells - 1] * c[top + l];
  for (size_t j = m->cells - 1; j-- > 0;) {
    const double mass = m->mass[j];
    const size_t here = j * LANES;
    for (size_t l = 0; l < LANES; ++l)
      y[here + l] = mass * c[here + l] + up[here + l] * y[here + LANES + l];
  }
}

/* From the cloth up: the new concentrations. */
static void substitute_up(const fg_march *m, const double *restrict y, const double *restrict down,
                          const double *restrict pivot, const double *restrict low_pivot,
                          double *restrict c) {
  for (size_t l = 0; l < LANES; ++l)
    c[l] = y[l] * low_pivot[l];
  for (size_t j = 1; j < m->cells; ++j) {
    const size_t here = j * LANES;
    for (size_t l = 0; l < LANES; ++l)
      c[here + l] = (y[here + l] + down[here + l] * c[here - LANES + l]) * pivot[here + l];
  }
}

/* Some steps of one block. */
static void march_block(fg_march *m, const strip_system *s, size_t block, size_t steps) {
  const size_t first = block * LANES, depth = block * m->cells * LANES;
  double *c = m->state + depth, *y = m->work + depth;
  const double *top = c + (m->cells - 1) * LANES;
  double *restrict caught = m->caught + first, *restrict left = m->left + first;
  const double *gain = m->trap_gain + first, *leave = s->leave + first;
  for (size_t step = 0; step < steps; ++step) {
    eliminate_down(m, c, s->up + depth, y);
    substitute_up(m, y, s->down + depth, s->pivot + depth, m->low_pivot + first, c);
    for (size_t l = 0; l < LANES; ++l) {
      caught[l] += gain[l] * c[l];
      left[l] += leave[l] * top[l];
    }
  }
}

static void march_blocks(fg_march *m, const strip_system *s, size_t steps) {
  for (size_t block = 0; block < m->padded / LANES; ++block)
    march_block(m, s, block, steps);
  m->x_m += (double)steps * s->step_m;
  show(m);
}

static void march_strip(fg_march *m, const strip_system *s, const fg_march_pocket *pocket,
                        double *trapped, double *blown) {
  set_pocket(m, s, pocket);
  memset(m->caught, 0, m->padded * sizeof *m->caught);
  memset(m->left, 0, m->padded * sizeof *m->left);
  if (m->watch)
    for (size_t step = 0; step < s->steps; ++step)
      march_blocks(m, s, 1);
  else
    march_blocks(m, s, s->steps);
  for (size_t k = 0; k < m->classes; ++k) {
    if (trapped)
      trapped[k] += m->caught[k];
    if (blown)
      blown[k] += m->left[k];
  }
}

void fg_march_pitch(fg_march *march, const fg_march_pocket *pocket, double *trapped,
                    double *blown) {
  for (int kind = 0; kind < FG_STRIP_KINDS; ++kind)
    if (march->strip[kind].steps > 0)
      march_strip(march, &march->strip[kind], pocket, trapped, blown);
}

void fg_march_keep(fg_march *march) {
  memcpy(march->kept, march->state, march->padded * march->cells * sizeof *march->kept);
  march->kept_x_m = march->x_m;
}

void fg_march_back(fg_march *march) {
  memcpy(march->state, march->kept, march->padded * march->cells * sizeof *march->kept);
  march->x_m = march->kept_x_m;
}

void fg_march_swap(fg_march *march) {
  double *state = march->state;
  march->state = march->kept;
  march->kept = state;
  const double x = march->x_m;
  march->x_m = march->kept_x_m;
  march->kept_x_m = x;
}

void fg_march_blend(fg_march *march, double part) {
  const size_t n = march->padded * march->cells;
  for (size_t i = 0; i < n; ++i)
    march->state[i] = part * march->state[i] + (1.0 - part) * march->kept[i];
}

void fg_march_remaining(const fg_march *march, double *flux) {
  for (size_t k = 0; k < march->classes; ++k) {
    flux[k] = 0.0;
    for (size_t j = 0; j < march->cells; ++j)
      flux[k] += march->mass[j] * march->state[at(march, j, k)];
  }
}

void fg_march_profile(const fg_march *march, size_t class_index, double *concentration) {
  for (size_t j = 0; j < march->cells; ++j)
    concentration[j] = march->state[at(march, j, class_index)];
}
