#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The deck march of bench.c with scipy's banded solver: one system a class and step, written as
one would at first.  Prints the seconds that one march takes (best of several)."""
import sys
import time

import numpy as np
from scipy.linalg import solve_banded

CELLS, PITCHES = 12, 7
STEPS, LENGTH, MIXING = (6, 2), (0.085, 0.03), (5e-6, 4e-6)
DEPTH = 0.006


def bernoulli(x):
    return 1.0 - 0.5 * x if abs(x) < 1e-5 else x / np.expm1(x)


def band(sinking, mixing, step, mass, width, flow):
    """Bands of mass - step * fluxes, closed at the surface; the trap goes into the last row."""
    peclet = -sinking * width / mixing
    out = mixing / width * bernoulli(-peclet) * step / flow
    into = mixing / width * bernoulli(peclet) * step / flow
    ab = np.zeros((3, CELLS))
    ab[1] = mass
    ab[1, :-1] += out
    ab[1, 1:] += into
    ab[0, 1:] = -into
    ab[2, :-1] = -out
    return ab


def march(classes):
    speed = 0.01 * (1.0 + np.arange(CELLS))
    width = DEPTH / CELLS
    flow = float(np.sum(speed) * width)
    mass = speed * width / flow
    trapped = np.zeros(classes)
    for k in range(classes):
        sinking, trap = 2e-5 * k, 0.9
        state = np.ones(CELLS)
        for _ in range(PITCHES):
            for kind in (0, 1):
                step = LENGTH[kind] / STEPS[kind]
                recoil = np.exp(-0.5 * sinking * width / MIXING[kind])
                gain = sinking * step / flow * trap / (trap + (1.0 - trap) * recoil)
                ab = band(sinking, MIXING[kind], step, mass, width, flow)
                ab[1, 0] += gain
                for _ in range(STEPS[kind]):
                    state = solve_banded((1, 1), ab, mass * state, check_finite=False)
                    trapped[k] += gain * state[0]
    return trapped


def main():
    classes = int(sys.argv[1]) if len(sys.argv) > 1 else 13
    march(classes)
    best = min(timed(classes) for _ in range(5))
    print(f"{best:.9f} {np.sum(march(classes)):.12g}")


def timed(classes):
    start = time.perf_counter()
    march(classes)
    return time.perf_counter() - start


if __name__ == "__main__":
    main()
