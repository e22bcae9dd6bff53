/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "flourgold/loss_report.h"
#include "flourgold/setting_view.h"
#include "flourgold/sieve.h"

const char *fg_report_scenario_name(const fg_scenario *scenario) {
  if (scenario->site.name[0] != '\0') return scenario->site.name;
  const char *slash = strrchr(scenario->file, '/');
  return slash ? slash + 1 : scenario->file;
}

const char *fg_report_mesh(double lower_m, double upper_m, char *buffer, size_t size) {
  const int fine = fg_sieve_nearest(lower_m), coarse = fg_sieve_nearest(upper_m);
  if (fine > 0 && coarse > 0 && fine != coarse)
    (void)snprintf(buffer, size, "%d to %d", coarse, fine);
  else if (fine > 0)
    (void)snprintf(buffer, size, "over %d", fine);
  else
    (void)snprintf(buffer, size, "%.3g mm", 1e3 * upper_m);
  return buffer;
}

static void air_state(fg_node *state, const fg_machine *m) {
  const fg_operating *at = &m->at;
  fg_number(state, "air_density_kg_m3", "Air density", FG_Q_GAS_DENSITY, m->air.density_kg_m3, 0);
  fg_number(state, "air_viscosity_pa_s", NULL, FG_Q_VISCOSITY, m->air.viscosity_pa_s, 0);
  fg_number(state, "blower_flow_m3_s", "Air from the blower", FG_Q_VOLUME_RATE,
            at->blower_flow_m3_s, 0);
  fg_number(state, "blower_pressure_pa", "Pressure at the blower", FG_Q_PRESSURE,
            at->blower_pressure_pa, 0);
  fg_number(state, "gate_flow_m3_s", "Bled off by the gate", FG_Q_VOLUME_RATE, at->gate_flow_m3_s,
            0);
  fg_number(state, "leak_flow_m3_s", NULL, FG_Q_VOLUME_RATE, at->leak_flow_m3_s, 0);
  fg_number(state, "box_pressure_pa", "Pressure in the box", FG_Q_PRESSURE, at->box_pressure_pa,
            0);
  fg_number(state, "deck_velocity_m_s", "Air up through the open strips", FG_Q_SPEED,
            at->open_velocity_m_s, 0);
  fg_number(state, "quiet_velocity_m_s", "Air behind the riffles", FG_Q_SPEED,
            at->quiet_velocity_m_s, 0);
  fg_number(state, "fluidising_velocity_m_s", "Air that would just float the bed", FG_Q_SPEED,
            m->fluidising_m_s, 0);
  fg_number(state, "wen_yu_velocity_m_s", NULL, FG_Q_SPEED, m->wen_yu_m_s, 0);
  fg_number(state, "support", "Bed weight on air, open strips", FG_Q_SHARE, at->support_open,
            0);
  fg_number(state, "support_dead", "Bed weight on air, behind riffles", FG_Q_SHARE,
            at->support_quiet, 0);
  fg_number(state, "support_mean", NULL, FG_Q_SHARE, at->support_mean, 0);
}

static void bed_state(fg_node *state, const fg_machine *m) {
  const fg_operating *at = &m->at;
  fg_number(state, "rotor_rpm", "Rotor", FG_Q_FREQUENCY, at->shake.speed_hz, 0);
  fg_number(state, "stroke_amplitude_m", "Shake to each side", FG_Q_LENGTH,
            at->shake.amplitude_m, 0);
  fg_number(state, "shake_gamma", "Shake in units of gravity", FG_Q_NUMBER, at->shake.gamma, 0);
  fg_number(state, "cohesion_pa", NULL, FG_Q_PRESSURE, m->cohesion_pa, 0);
  fg_number(state, "sauter_m", "Grain size of the bed (Sauter)", FG_Q_GRAIN_SIZE,
            m->sauter_m, 0);
  fg_number(state, "voidage", "Air space between the grains", FG_Q_SHARE, m->voidage, 0);
  fg_number(state, "screen_share", "Gravel finer than the screen", FG_Q_SHARE, m->screen_share, 0);
  fg_number(state, "screen_blinded", "Kept on the screen by damp", FG_Q_SHARE, m->screen_blinded,
            0);
  fg_number(state, "clods", "Lost as clods", FG_Q_SHARE, m->clods, 0);
  fg_number(state, "bed_depth_m", m->stalled ? NULL : "Depth of the moving bed", FG_Q_LENGTH,
            m->stalled ? (double)NAN : at->depth_m, 0);
  fg_number(state, "bed_speed_m_s", m->stalled ? NULL : "Speed of the bed", FG_Q_SPEED,
            m->bed_speed_m_s, 0);
  fg_number(state, "residence_s", m->stalled ? NULL : "Time on the deck", FG_Q_TIME,
            m->residence_s, 0);
  fg_number(state, "shear_1_s", NULL, FG_Q_RATE, m->shear_1_s, 0);
  fg_number(state, "viscosity_pa_s", NULL, FG_Q_VISCOSITY, m->viscosity_pa_s, 0);
  fg_number(state, "coverage", m->thin ? "Share of the deck covered" : NULL, FG_Q_SHARE,
            m->coverage, 0);
  fg_number(state, "capacity_margin", NULL, FG_Q_NUMBER, m->capacity_margin, 0);
  fg_number(state, "capacity_ratio", "Most it could carry, over feed", FG_Q_NUMBER,
            1.0 + m->capacity_margin, 0);
  fg_boolean(state, "stalled", NULL, m->stalled, 0);
}

void fg_report_state(fg_node *parent, const fg_scenario *scenario, const fg_machine *machine) {
  (void)scenario;
  fg_node *state = fg_group(parent, "state", "The machine at work", 0);
  air_state(state, machine);
  bed_state(state, machine);
}

/* A line for people and for the list at once. */
static void warn(fg_node *heading, fg_node *list, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
static void warn(fg_node *heading, fg_node *list, const char *format, ...) {
  char line[320];
  va_list arguments;
  va_start(arguments, format);
  (void)vsnprintf(line, sizeof line, format, arguments);
  va_end(arguments);
  fg_bullet(heading, "%s", line);
  fg_list_string(list, line);
}

static void warn_air(fg_node *heading, fg_node *list, const fg_scenario *s, const fg_machine *m) {
  const double rated = m->fan.rated_m3_s * m->fan.speed;
  if (s->blower.label_at == FG_LABEL_NOZZLE && m->at.blower_flow_m3_s > rated)
    warn(heading, list,
         "The blower moves %.0f %% of what its %s says at this speed: the end of its curve is "
         "a guess there.",
         100.0 * m->at.blower_flow_m3_s / rated, s->blower.curve_count > 0 ? "curve" : "label");
  if (m->at.support_open >= 0.999)
    warn(heading, list,
         "There is %.0f %% of the air that floats the bed: more air will not loosen it further, "
         "it stirs and lifts the finest gold.",
         100.0 * m->at.open_velocity_m_s / m->fluidising_m_s);
}

static void warn_bed(fg_node *heading, fg_node *list, const fg_machine *m) {
  if (m->stalled) return;
  if (m->thin)
    warn(heading, list, "The feed does not cover the deck: the bed is a single grain deep, and "
                        "only %.0f %% of the deck is at work.",
         100.0 * m->coverage);
  else if (m->at.depth_m < 5.0 * m->sauter_m)
    warn(heading, list, "The bed is only %.1f grains deep: the bed laws want five or more.",
         m->at.depth_m / m->sauter_m);
  if (m->at.depth_m < 2.0 * m->bed_top_m)
    warn(heading, list, "The largest stones that pass the screen stand out of the bed; they are "
                        "not in the model.");
  if (m->capacity_margin < 0.3)
    warn(heading, list, "The deck is close to stalling: it could carry only %.0f %% more.",
         100.0 * m->capacity_margin);
}

void fg_report_warnings(fg_node *parent, const fg_scenario *scenario, const fg_machine *machine) {
  fg_node *heading = fg_group(parent, NULL, "At the edge of the model", 0);
  fg_node *list = fg_list(parent, "warnings", FG_DATA_ONLY);
  warn_air(heading, list, scenario, machine);
  warn_bed(heading, list, machine);
}

void fg_report_assumed(fg_node *parent, const fg_scenario *scenario, fg_unit_system units) {
  fg_node *heading = fg_group(parent, NULL, "Assumed, not given", 0);
  fg_settings_add_origin(heading, "assumed", scenario, FG_FROM_DEFAULT, units);
}

void fg_report_trust(fg_node *parent) {
  fg_node *heading = fg_group(parent, NULL, "How far to trust this", FG_TEXT_ONLY);
  fg_note(heading,
          "A model, unproven on any machine. Nobody has published how much gold by size such a "
          "tray keeps, nor measured gold flakes falling in air; laws for flakes differ by a "
          "quarter in speed. Trust the order of things (what helps, what hurts, which sizes go "
          "first) more than the figures, and re-pan your own tailings.");
}

void fg_report_cautions(fg_node *parent) {
  fg_node *heading = fg_group(parent, NULL, "Take care", FG_TEXT_ONLY);
  fg_note(heading,
          "The dust holds silica: stand upwind and wear a fitted respirator. Wear hearing "
          "protection. Never run an engine in a pit, trench or tunnel, nor refuel it hot; mind "
          "sparks and fire orders. Drink before you are thirsty. Stay out of old workings. Local "
          "rules, claims and land status come first.");
}
