/* SPDX-License-Identifier: GPL-3.0-or-later */
/* How much of each size of gold a deck keeps; C and C++ alike.  Usage: example SCENARIO */
#include <flourgold/flourgold.h>
#include <stdio.h>

static void print_kept(const fg_loss *loss) {
  char lower[32], upper[32];
  for (size_t i = 0; i < loss->gold_count; ++i) {
    const fg_class_loss *gold = &loss->gold[i];
    printf("%s to %s: %.1f %% kept\n",
           fg_quantity_text(FG_Q_GRAIN_SIZE, FG_UNITS_SI, gold->lower_m, lower, sizeof lower),
           fg_quantity_text(FG_Q_GRAIN_SIZE, FG_UNITS_SI, gold->upper_m, upper, sizeof upper),
           100.0 * gold->kept);
  }
  printf("all that passes the screen: %.1f %% kept, %.3f g/h\n", 100.0 * loss->kept,
         loss->kept_kg_s * 3.6e6);
}

int main(int argc, char **argv) {
  static fg_scenario scenario;
  fg_complaints complaints = {NULL, 0};
  fg_loss loss;
  fg_init();
  fg_status status =
      fg_scenario_read(argc > 1 ? argv[1] : "demo.cfg", NULL, 0, &scenario, &complaints);
  for (size_t i = 0; i < complaints.count; ++i)
    fprintf(stderr, "%s\n", complaints.lines[i]);
  if (status == FG_OK) {
    status = fg_loss_run(&scenario, NULL, &loss);
    if (status == FG_OK)
      print_kept(&loss);
    if (status == FG_OK || status == FG_ESTALL)
      fg_loss_free(&loss);
  }
  if (status != FG_OK)
    fprintf(stderr, "%s\n", fg_status_text(status));
  fg_complaints_free(&complaints);
  fg_finish();
  return status == FG_OK ? 0 : 1;
}
