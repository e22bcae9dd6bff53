#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Sauter and median size of sieved sand against fluids and scipy."""

import math
import os
import sys

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "support"))

from fluids.particle_size_distribution import ParticleSizeDistribution
from scipy.stats import lognorm

from oracle import Oracle, run

PIECES = 80  # of a class, even in the logarithm as the program has it

STACKS = (
    ((2.0, 1.0, 0.5), (0.5, 0.5)),
    ((6.35, 3.0, 1.4, 0.6, 0.3), (0.21, 0.29, 0.31, 0.19)),
    ((4.75, 2.36, 1.18, 0.6, 0.3, 0.15, 0.075), (0.05, 0.12, 0.33, 0.27, 0.15, 0.08)),
    ((1.0, 0.9, 0.2), (0.02, 0.98)),
)


def sieved(openings, shares, **more):
    """The program's figures for what lies between the first and the last sieve."""
    pairs = [f"{openings[0]}mm=0"]
    pairs += [f"{size}mm={share}" for size, share in zip(openings[1:], shares)]
    pairs += ["pan=0"] + [f"{key}={value}" for key, value in more.items()]
    return run("calc", "sieves", *pairs)["result"]


def theirs(openings, shares):
    """The Sauter mean of the same by fluids, each class cut into pieces."""
    edges, parts = [openings[-1]], []
    for i in range(len(shares) - 1, -1, -1):
        step = (openings[i] / openings[i + 1]) ** (1.0 / PIECES)
        for piece in range(PIECES):
            edges.append(openings[i + 1] * step ** (piece + 1))
            parts.append(shares[i] / PIECES)
    return ParticleSizeDistribution(ds=edges, fractions=parts, order=3).mean_size(3, 2)


def lognormal_case(oracle, median, spread):
    """A log-normal sand through the standard stack: its own Sauter mean comes back."""
    sand = lognorm(s=math.log(spread), scale=median)
    openings = [8.0 * median / 2 ** (i / 4.0) for i in range(23)]
    finer = [sand.cdf(size) for size in openings]
    shares = [1.0 - finer[0]] + [finer[i] - finer[i + 1] for i in range(22)]
    pairs = [f"{size}mm={share}" for size, share in zip(openings, shares)] + [f"pan={finer[-1]}"]
    got = run("calc", "sieves", *pairs)["result"]
    oracle.close(f"median of {median}, {spread}", got["median_mm"], median, 4e-3)
    oracle.close(f"spread of {median}, {spread}", got["spread"], spread, 1e-6)
    sauter = median * math.exp(-0.5 * math.log(spread) ** 2)
    oracle.close(f"sauter of {median}, {spread}", got["sauter_mm"], sauter, 4e-3)


def main():
    oracle = Oracle()
    for openings, shares in STACKS:
        got = sieved(openings, shares)
        oracle.close(f"sauter of {shares}", got["sauter_mm"], theirs(openings, shares), 2e-4)
    # What a screen lets through: the same classes without those above it.
    got = sieved(STACKS[1][0], STACKS[1][1], screen="1.4mm")
    oracle.close("sauter below 1.4 mm", got["sauter_mm"], theirs((1.4, 0.6, 0.3), (0.31, 0.19)), 2e-4)
    oracle.close("passing 1.4 mm", got["passing"], 0.5, 1e-12)
    for median, spread in ((1.0, 2.0), (0.5, 2.5), (1.5, 1.6)):
        lognormal_case(oracle, median, spread)
    return oracle.finish()


if __name__ == "__main__":
    sys.exit(main())
