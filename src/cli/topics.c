/* SPDX-License-Identifier: GPL-3.0-or-later */
/* The topics of the help. */
#include "cli/topics.h"

#include <string.h>

#include "cli/topic_texts.h"
#include "pages/page.h"

static const char words_text[] =
    "- assumed: a setting nobody gave; the program takes its usual value.\n"
    "- band: figures in brackets, (32 to 90): one run in ten lies below, one in ten above, when "
    "everything in doubt is drawn anew.\n"
    "- bed: the layer of gravel that moves down the deck.\n"
    "- black sand: heavy dark grains, mostly magnetite, that settle with the gold and fill the "
    "riffles.\n"
    "- blinded: of a screen, holes shut by damp gravel.\n"
    "- box pressure: how hard the air pushes up under the cloth, read as inches of water in a "
    "clear tube.\n"
    "- bucket: a level five-gallon bucket of loose gravel, unless the file says otherwise.\n"
    "- cfm: cubic feet of air a minute.\n"
    "- clods: lumps of clay or damp gravel that keep their gold.\n"
    "- cloth: what the air comes through, under the riffles.\n"
    "- colours: single grains of gold, counted in a pan.\n"
    "- concentrate: what stands behind the riffles when you clean them.\n"
    "- cut: the reading worth digging for.\n"
    "- deck: the sloping tray with cloth and riffles.\n"
    "- fine gold: here, gold that passes 60 mesh; flour gold is the finest of it.\n"
    "- floats: of a bed, when the air carries all its weight.\n"
    "- full: of a riffle, its pocket is level with black sand and holds little more gold.\n"
    "- gate: the flap that lets air escape before the box. Open it, and less reaches the deck.\n"
    "- grade: gold in a yard of ground.\n"
    "- head, tail: the upper end of the deck, where gravel enters, and the lower end, where it "
    "falls off.\n"
    "- magnetite: see black sand.\n"
    "- mesh: holes an inch in a sieve: 60 mesh is 0.25 mm, 100 mesh 0.15 mm, 200 mesh 0.075 "
    "mm.\n"
    "- median: the middle one of all runs: as many are better as worse.\n"
    "- moisture: weight of water for 100 of dry gravel.\n"
    "- open strip, quiet strip: most of the cloth lets air up; the quiet strip just upslope of "
    "each "
    "riffle gets little, and there gold comes to rest.\n"
    "- over: gold that ran over the riffles and off the tail without settling.\n"
    "- pocket: the room behind a riffle.\n"
    "- point: one in a hundred: from 62 to 68 % are six points.\n"
    "- re-pan: to pan what fell off the tail; it tells what was lost.\n"
    "- riffle: the bar across the deck that holds back what is heavy.\n"
    "- run: one working-out of the model; many, each with the doubtful figures drawn anew, make a "
    "band.\n"
    "- shaken out: gold that lay in a pocket and was thrown out again.\n"
    "- shake: the throw of the deck, by a weight off centre on a spinning shaft.\n"
    "- slope: how many inches the deck drops in a foot of level ground.\n"
    "- stall: the gravel piles up, stops, and nothing is sorted.\n"
    "- stuck: gold held by clods or damp sand.\n"
    "- tailings: what fell off the tail.\n"
    "- throttle: how far the blower is opened up, in percent.";

static const char trust_more[] =
    "- Facts the model was not made from are held against it by its tests; damp sand and fast "
    "rods in aerated sand it gets wrong.\n"
    "- What nobody knows of such a machine is a setting of the group closure, with a range: "
    "flourgold keys closure.\n"
    "- The bed on such a deck is often only three to six grains deep, where any law of its flow is "
    "stretched.\n"
    "- Do not set the deck flatter than the 4 to 6 inches a foot of the bulletins on the model's "
    "word: it has no stones that stop the sand.\n"
    "- The band in brackets covers what is doubtful in the inputs, not faults of the model "
    "itself.\n"
    "- Best proof: pan a few buckets of your own tailings again. flourgold doubts and flourgold "
    "measure tell what else narrows the band.";

static const char cautions_more[] =
    "- Silica: the limit is 50 millionths of a gram in a cubic meter over eight hours (29 CFR "
    "1926.1153). A dry day at such a tray can fill that in minutes to hours. A fitted P100, or at "
    "least N95, and stand upwind.\n"
    "- Valley fever: desert soil may hold its fungus. Cough, fever or tiredness weeks later: tell "
    "a doctor where you dug.\n"
    "- Noise: muffs or plugs while it runs, everyone near.\n"
    "- Engine: never in or beside a pit, trench or tunnel; let it cool before refuelling; bare "
    "ground, a spark arrester, the day's fire orders.\n"
    "- Heat: water every 15 to 20 minutes, shade, food with salt.\n"
    "- Old workings: stay out, and off their edges. Never undercut a bank you stand below.\n"
    "- Mercury: old tailings may hold it. Never heat amalgam or gold that looks white.\n"
    "- flourgold card works these out for your own day.";

const fg_topic fg_topics[] = {
    {"words", "the words of the trade, as they are used here", NULL, words_text},
    {"trust", "how far to trust the figures", fg_page_trust_text, trust_more},
    {"cautions", "what can hurt you", fg_page_cautions_text, cautions_more},
    {"scenario", "scenario files: readings, errors, what you saw", NULL, fg_scenario_text},
    {"units", "how values may be written", NULL, fg_units_text},
    {"json", "JSON and CSV: names, units, null, exit status", NULL, fg_json_text},
    {"statistics", "where bands, chances and limits come from", NULL, fg_statistics_text},
    {"sampling", "a few buckets first: plan, form, result", NULL, fg_sampling_text},
    {"drying", "how ground dries, and the weather file", NULL, fg_drying_text},
    {"kriging", "black-sand maps: what to write down, how sure", NULL, fg_kriging_text},
    {"settings", "what tune, blowers and cleanup do", NULL, fg_settings_text},
    {"phone", "how a card gets onto a phone", NULL, fg_phone_text},
};

const size_t fg_topics_count = sizeof fg_topics / sizeof fg_topics[0];

const fg_topic *fg_topic_find(const char *name) {
  for (size_t i = 0; i < fg_topics_count; ++i)
    if (strcmp(fg_topics[i].name, name) == 0)
      return &fg_topics[i];
  return NULL;
}
