/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "pages/loss_report.h"
#include "study/plan.h"

static const double allowed_moisture = 0.03;

void fg_report_loss_lines(fg_node *parent, const fg_column_of *lines, size_t count,
                          const fg_loss *loss, const fg_bands *bands) {
  const void *ends[3];
  for (int q = 0; bands && q < 3; ++q)
    ends[q] = &bands->at[q];
  fg_lines_of(parent, lines, count, loss, bands ? ends : NULL);
}

#define ROW(name, label, quantity, field)                                                          \
  { name, label, quantity, FG_FIELD_NUMBER, offsetof(fg_loss, machine.field) }

static const fg_column_of air_lines[] = {
    ROW("air_density_kg_m3", "Air density", FG_Q_GAS_DENSITY, air.density_kg_m3),
    ROW("air_viscosity_pa_s", NULL, FG_Q_VISCOSITY, air.viscosity_pa_s),
    ROW("blower_flow_m3_s", "Air from the blower", FG_Q_VOLUME_RATE, at.blower_flow_m3_s),
    ROW("blower_pressure_pa", "Pressure at the blower", FG_Q_PRESSURE, at.blower_pressure_pa),
    ROW("gate_flow_m3_s", "Bled off by the gate", FG_Q_VOLUME_RATE, at.gate_flow_m3_s),
    ROW("leak_flow_m3_s", NULL, FG_Q_VOLUME_RATE, at.leak_flow_m3_s),
    ROW("box_pressure_pa", "Pressure in the box", FG_Q_PRESSURE, at.box_pressure_pa),
    ROW("deck_velocity_m_s", "Air up through the open strips", FG_Q_SPEED, at.open_velocity_m_s),
    ROW("quiet_velocity_m_s", "Air up through the quiet strips", FG_Q_SPEED, at.quiet_velocity_m_s),
    ROW("fluidising_velocity_m_s", "Air that just floats the bed", FG_Q_SPEED, fluidising_m_s),
    ROW("wen_yu_velocity_m_s", NULL, FG_Q_SPEED, wen_yu_m_s),
    ROW("support", "Bed's weight on air, open strips", FG_Q_SHARE, at.support_open),
    ROW("support_dead", "Bed's weight on air, quiet strips", FG_Q_SHARE, at.support_quiet),
    ROW("support_mean", NULL, FG_Q_SHARE, at.support_mean),
    ROW("support_flowing", "Bed's weight on air, as it flows", FG_Q_SHARE, at.support_flowing),
    ROW("rotor_rpm", "Rotor", FG_Q_FREQUENCY, at.shake.speed_hz),
    ROW("stroke_amplitude_m", "Shake, to each side of rest", FG_Q_LENGTH, at.shake.amplitude_m),
    ROW("shake_gamma", "Shake in units of gravity", FG_Q_NUMBER, at.shake.gamma),
    ROW("cohesion_pa", NULL, FG_Q_PRESSURE, cohesion_pa),
    ROW("sauter_m", "Grain size of the bed (Sauter)", FG_Q_GRAIN_SIZE, sauter_m),
    ROW("voidage", "Air space between the grains", FG_Q_SHARE, voidage),
    ROW("screen_share", "Gravel finer than the screen", FG_Q_SHARE, screen_share),
    ROW("screen_blinded", "- of it held on the screen by damp", FG_Q_SHARE, screen_blinded),
    ROW("clods", "Gravel that stays in clods", FG_Q_SHARE, clods),
};

/* A stalled deck has none of these. */
static const fg_column_of running_lines[] = {
    ROW("bed_depth_m", "Depth of the moving bed", FG_Q_LENGTH, at.depth_m),
    ROW("bed_speed_m_s", "Speed of the bed", FG_Q_SPEED, bed_speed_m_s),
    ROW("quiet_depth_m", "Depth over the quiet strips", FG_Q_LENGTH, strip[1].depth_m),
    ROW("quiet_speed_m_s", "Speed there", FG_Q_SPEED, strip[1].speed_m_s),
    ROW("residence_s", "Time on the deck", FG_Q_TIME, residence_s),
    ROW("shear_1_s", NULL, FG_Q_RATE, shear_1_s),
    ROW("viscosity_pa_s", NULL, FG_Q_VISCOSITY, viscosity_pa_s),
    ROW("coverage", NULL, FG_Q_SHARE, coverage),
};

static const fg_column_of margin_line[] = {
    ROW("capacity_margin", NULL, FG_Q_NUMBER, capacity_margin),
};

void fg_report_state(fg_node *parent, const fg_loss *loss, const fg_bands *bands) {
  const fg_machine *machine = &loss->machine;
  fg_loss known = *loss;
  for (size_t i = 0; machine->stalled && i < FG_COUNT_OF(running_lines); ++i)
    *(double *)(void *)((char *)&known + running_lines[i].offset) = (double)NAN;
  fg_node *state = fg_group(parent, "state", "The machine at work", 0);
  fg_report_loss_lines(state, air_lines, FG_COUNT_OF(air_lines), loss, bands);
  fg_report_loss_lines(state, running_lines, FG_COUNT_OF(running_lines), &known, bands);
  fg_report_loss_lines(state, margin_line, FG_COUNT_OF(margin_line), loss, bands);
  /* Air-borne gravel has hardly any friction: how much more it could carry means nothing then. */
  static const char capacity_label[] = "Feed it could carry, over this feed";
  const double capacity = 1.0 + machine->capacity_margin;
  fg_number(state, "capacity_ratio", capacity_label, FG_Q_NUMBER, capacity,
            capacity > 20.0 ? FG_DATA_ONLY : 0);
  if (capacity > 20.0)
    fg_string(state, NULL, capacity_label, "plenty", FG_TEXT_ONLY);
  fg_boolean(state, "stalled", NULL, machine->stalled, 0);
  fg_note(state, "Quiet strips: just upslope of each riffle, where little air comes up. Open "
                 "strips: the rest of the cloth. Sauter: the mean size that air feels.");
}

static const double many_stall = 0.1; /* so many move an end of the band */

void fg_report_outside(fg_node *parent, const fg_banded *kept, double stall_share, bool weighed) {
  const bool below = kept->nominal < kept->band.low;
  if (!below && !(kept->nominal > kept->band.high))
    return;
  const bool stalls = below && stall_share > many_stall;
  fg_note(parent,
          "With the inputs as written the deck keeps %.3g %%, %s than its band says (%.3g to "
          "%.3g %%).",
          100.0 * kept->nominal, below ? "less" : "more", 100.0 * kept->band.low,
          100.0 * kept->band.high);
  if (stalls)
    fg_note(parent,
            "Why: the %.0f %% of the runs that stall have no place in the band, and those that do "
            "not had luckier inputs. Count on the smaller figure.",
            100.0 * stall_share);
  if (weighed)
    fg_note(parent, "Why: what was observed on the running machine fits other inputs better than "
                    "those written. Count on the band.");
  if (!stalls && !weighed)
    fg_note(parent, "Why: the inputs as written stand near one end of what is likely for them; "
                    "`flourgold doubts` tells which of them matter.");
}

void fg_report_doubt(fg_node *parent, const fg_bands *bands) {
  if (!bands)
    return;
  fg_number(parent, "stall_share", NULL, FG_Q_SHARE, bands->stall_share, 0);
  fg_node *doubt = fg_group(parent, "doubt", "How sure", 0);
  fg_integer(doubt, "samples", "Runs, doubtful inputs drawn anew", (long)bands->samples, 0);
  fg_integer(doubt, "seed", NULL, (long)bands->seed, 0);
  fg_integer(doubt, "inputs", "Inputs in doubt", (long)bands->plan.count, 0);
  fg_number(doubt, "stall_share", "Runs in which the deck stalls", FG_Q_SHARE, bands->stall_share,
            0);
  fg_number(doubt, "effective_samples",
            bands->plan.weighed ? "Runs that fit what was observed" : NULL, FG_Q_NUMBER,
            bands->plan.effective, 0);
  if (bands->plan.weighed)
    fg_boolean(doubt, "contradiction", NULL, bands->plan.effective < fg_least_effective, 0);
  if (bands->plan.weighed && bands->plan.effective < fg_least_effective)
    fg_note(doubt, "The readings on the running machine and this model contradict each other: "
                   "hardly a run, whatever is drawn, shows what you saw. Read again, and check "
                   "what was given; until then no figure here means much.");
  fg_note(doubt, "Figures in brackets (low and high in a table) hold 80 %% of the runs that do "
                 "not stall: one in ten lies below, one in ten above. `flourgold doubts` tells "
                 "what to measure first.");
}

static void warn_air(fg_node *heading, fg_node *list, const fg_scenario *s, const fg_machine *m) {
  const double rated = m->fan.rated_m3_s * m->fan.speed;
  if (s->blower.label_at == FG_LABEL_NOZZLE && m->at.blower_flow_m3_s > rated)
    fg_remark(heading, list,
              "The blower moves %.0f %% of what its %s says at this speed: the end of its curve is "
              "a guess there.",
              100.0 * m->at.blower_flow_m3_s / rated,
              s->blower.curve_count > 0 ? "curve" : "label");
  if (m->at.support_open >= 0.999)
    fg_remark(
        heading, list,
        "There is %.0f %% of the air that floats the bed: more air will not loosen it further, "
        "it stirs and lifts the finest gold.",
        100.0 * m->at.open_velocity_m_s / m->fluidising_m_s);
}

static void warn_moisture(fg_node *heading, fg_node *list, const fg_scenario *s) {
  if (s->ground.moisture > allowed_moisture)
    fg_remark(
        heading, list,
        "The ground is wetter than the 3 %% that bulletins allow (Wells 1969). The model's water "
        "bonds hardly grow beyond that: its figures are too hopeful there.");
}

const double fg_shake_most = 3.0;

static void warn_shake(fg_node *heading, fg_node *list, const fg_machine *m) {
  if (m->at.shake.gamma > fg_shake_most)
    fg_remark(
        heading, list,
        "Not believable: a shake of %.1f times gravity throws box and bed about, but the model's "
        "bed stays on the deck. Check what was given for the shaker.",
        m->at.shake.gamma);
}

static void warn_bed(fg_node *heading, fg_node *list, const fg_machine *m) {
  if (m->stalled)
    return;
  if (m->thin)
    fg_remark(heading, list,
              "The feed does not cover the deck: the bed is a single grain deep, and "
              "only %.0f %% of the deck is at work.",
              100.0 * m->coverage);
  else if (m->at.depth_m < 5.0 * m->sauter_m)
    fg_remark(heading, list, "The bed is only %.1f grains deep: the bed laws want five or more.",
              m->at.depth_m / m->sauter_m);
  if (m->at.depth_m < 2.0 * m->bed_top_m)
    fg_remark(heading, list,
              "The largest stones that pass the screen stand out of the bed; they are "
              "not in the model.");
  if (m->capacity_margin < 0.3)
    fg_remark(heading, list, "The deck is close to stalling: it could carry only %.0f %% more.",
              100.0 * m->capacity_margin);
}

void fg_report_warnings(fg_node *parent, const fg_scenario *scenario, const fg_machine *machine) {
  fg_node *heading = fg_group(parent, NULL, "At the edge of the model", 0);
  fg_node *list = fg_list(parent, "warnings", FG_DATA_ONLY);
  warn_air(heading, list, scenario, machine);
  warn_shake(heading, list, machine);
  warn_bed(heading, list, machine);
  warn_moisture(heading, list, scenario);
}
