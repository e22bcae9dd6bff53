#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The grain size of the bed, a log-normal gravel cut off by the screen, against scipy."""

import math
import os
import sys
import tempfile

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "support"))

from scipy.integrate import quad
from scipy.stats import lognorm

from oracle import Oracle, run

SCENARIO = """
deck: {{ length = "0.8 m"; width = "0.3 m"; riffles = 7; }};
blower: {{ free_volume = "0.21 m3/s"; nozzle_speed = "85 m/s"; }};
run: {{ feed = "0.25 kg/s"; }};
screen: {{ opening = "{opening} mm"; }};
ground: {{ median_grain = "{median} mm"; grain_spread = {spread}; }};
"""


def bed_size(folder, **sizes):
    path = os.path.join(folder, "bed.cfg")
    with open(path, "w", encoding="utf-8") as file:
        file.write(SCENARIO.format(**sizes))
    return run("loss", path)["state"]["sauter_m"]


def sauter(median, spread, opening):
    """Mass below the opening over the mass divided by size."""
    gravel = lognorm(s=math.log(spread), scale=median)
    inverse, _ = quad(
        lambda z: gravel.pdf(math.exp(z)),
        math.log(median) - 12 * math.log(spread),
        math.log(opening),
        epsabs=0,
        epsrel=1e-11,
        limit=500,
    )
    return gravel.cdf(opening) / inverse


def main():
    oracle = Oracle()
    with tempfile.TemporaryDirectory() as folder:
        for median, spread, opening in (
            (1.9, 3.0, 6.0),
            (1.2, 2.0, 4.0),
            (0.8, 1.5, 3.0),
            (3.0, 4.0, 8.0),
            (2.5, 2.5, 2.0),
            (1.0, 1.2, 6.0),
        ):
            ours = bed_size(folder, median=median, spread=spread, opening=opening)
            theirs = 1e-3 * sauter(median, spread, opening)
            oracle.close(f"bed of {median} mm, {spread}, below {opening} mm", ours, theirs, 1e-7)
    return oracle.finish()


if __name__ == "__main__":
    sys.exit(main())
