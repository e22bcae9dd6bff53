/* SPDX-License-Identifier: GPL-3.0-or-later */
#include <math.h>

#include "flourgold/settling.h"
#include "model/capture_internal.h"
#include "model/deck.h"
#include "model/household.h"
#include "physics/grains.h"
#include "physics/jetsam.h"
#include "physics/sink.h"

/* Share of the grains that bubbles leave at the bottom of each strip.  The bed floats when its sand
 * does, however little it takes to float the grains themselves. */
static fg_status describe_mixing(const fg_machine *m, fg_lane *lane) {
  lane->settled[0] = lane->settled[1] = 1.0;
  const fg_grain *bed = &m->sinking.bed_grain, *grain = &lane->grain;
  if (grain->density_kg_m3 <= bed->density_kg_m3)
    return FG_OK;
  const fg_packing own = {grain->dv_m, grain->shape.sphericity, m->voidage};
  const double weight =
      (1.0 - m->voidage) * grain->density_kg_m3 * FG_GRAVITY * cos(m->sinking.slope_rad);
  double floats;
  const fg_status status =
      fg_packing_velocity(&own, weight, m->air.density_kg_m3, m->air.viscosity_pa_s, &floats);
  if (status != FG_OK)
    return status;
  const double takeover = fg_jetsam_takeover(
      floats / m->fluidising_m_s, grain->density_kg_m3 / bed->density_kg_m3,
      grain->shape.sphericity * grain->dv_m / (bed->shape.sphericity * bed->dv_m));
  for (int kind = 0; kind < 2; ++kind)
    lane->settled[kind] =
        1.0 - fg_jetsam_mixed(m->strip[kind].velocity_m_s / m->fluidising_m_s, takeover);
  return FG_OK;
}

static fg_status describe_motion(const fg_scenario *s, const fg_machine *m, fg_lane *lane) {
  fg_status status =
      fg_settling_velocity(s->closure.drag_law, &lane->grain, &m->sinking.gas, &lane->settling_m_s);
  for (int kind = 0; kind < 2 && status == FG_OK; ++kind) {
    lane->lift_m_s[kind] = fg_dust_lift(s, m, m->strip[kind].velocity_m_s, lane->settling_m_s);
    status = fg_sinking_speed(&m->sinking, &m->strip[kind], &lane->grain, &lane->sinking_m_s[kind]);
  }
  return status == FG_OK ? describe_mixing(m, lane) : status;
}

static fg_status make_grain(const fg_scenario *s, fg_lane *lane) {
  lane->size_m = sqrt(lane->sizes.lower_m * lane->sizes.upper_m);
  if (lane->stuff == FG_GOLD) {
    lane->grain.density_kg_m3 = s->gold.density;
    lane->grain.dv_m = fg_disc_equal_volume(lane->size_m, s->gold.thickness_ratio);
    return fg_grain_disc(s->gold.thickness_ratio, &lane->grain.shape);
  }
  const fg_mineral *mineral =
      fg_grain_mineral(lane->stuff == FG_MAGNETITE ? "magnetite" : "quartz");
  lane->grain.density_kg_m3 = mineral->density_kg_m3;
  lane->grain.dv_m = lane->size_m;
  const double sphericity =
      lane->stuff == FG_QUARTZ ? s->ground.grain_sphericity : mineral->sphericity;
  return fg_grain_of_sphericity(sphericity, &lane->grain.shape);
}

/* Mass flow of this class as far as it is fine enough for the screen: what clods and a blinded
 * screen keep back is still in it, for the freed shares take that off. */
static double lane_flow(const fg_scenario *s, const fg_machine *m, const fg_lane *lane) {
  const double part = lane->sizes.share * lane->passing, black = s->ground.magnetite;
  const double fine_kg_s = m->feed_kg_s * m->screen_share;
  switch (lane->stuff) {
  case FG_GOLD:
    return m->feed_kg_s / (s->ground.bulk_density * s->ground.swell) * s->gold.grade * part;
  case FG_MAGNETITE:
    return fine_kg_s * black * part;
  default:
    return fine_kg_s * (1.0 - black) * part;
  }
}

static fg_status fill_lane(const fg_scenario *s, const fg_machine *m, const fg_pocket_sand *sand,
                           fg_stuff stuff, const fg_size_class *sizes, fg_lane *lane) {
  *lane = (fg_lane){.stuff = stuff, .sizes = *sizes};
  lane->passing = fg_passing_share(sizes, s->screen.opening);
  fg_status status = make_grain(s, lane);
  if (status == FG_OK)
    status = describe_motion(s, m, lane);
  if (status == FG_OK)
    status = fg_pocket_hold(s, m, sand, lane);
  if (status != FG_OK)
    return status;
  lane->flow_kg_s = lane_flow(s, m, lane);
  if (stuff == FG_GOLD)
    lane->release_1_s = s->closure.release * fmax(0.0, m->at.shake.gamma - 1.0) / 60.0;
  return FG_OK;
}

fg_status fg_lanes_fill(const fg_scenario *s, const fg_machine *m, bool quartz, fg_lane *lane,
                        size_t *count) {
  fg_size_class classes[FG_GOLD_CLASSES_MAX];
  size_t filled = 0;
  fg_pocket_sand sand;
  fg_status status = fg_pocket_sand_describe(s, m, &sand);
  if (status != FG_OK)
    return status;
  for (int stuff = FG_GOLD; stuff < FG_STUFF_COUNT; ++stuff) {
    if (stuff == FG_QUARTZ && !quartz)
      continue;
    fg_sizes sizes = {.median_m = s->ground.magnetite_median, .spread = s->ground.magnetite_spread};
    if (stuff == FG_QUARTZ)
      fg_ground_sizes(s, &sizes);
    const size_t n = stuff == FG_GOLD ? fg_gold_classes(s, classes)
                                      : fg_sand_classes(&sizes, s->screen.opening, classes);
    for (size_t i = 0; i < n; ++i) {
      status = fill_lane(s, m, &sand, (fg_stuff)stuff, &classes[i], &lane[filled++]);
      if (status != FG_OK)
        return status;
    }
  }
  *count = filled;
  return FG_OK;
}
