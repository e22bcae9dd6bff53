#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Reads what the simulations in a folder wrote and prints one row a figure:
case, quantity, value, one standard error (0: a mean over the whole bed, scatter not told)."""

import math
import os
import random
import sys

D = 0.9e-3  # bed grain (m), as in common.in
TIME_STEP = 5.0e-6
TRACERS = {"3": "gold_0.25", "4": "gold_0.37", "5": "gold_0.52", "6": "gold_1.00", "7": "quartz_0.37"}
QUARTZ, AIR, VISCOSITY, GRAVITY = 2650.0, 1.1, 1.86e-5, 9.81


def frames(path):
    """Steps of a dump, each with its rows: {id: (type, other columns)}."""
    step, rows = None, {}
    with open(path, encoding="ascii") as lines:
        for line in lines:
            if line.startswith("ITEM: TIMESTEP"):
                if step is not None:
                    yield step, rows
                step, rows = int(next(lines)), {}
            elif line.startswith("ITEM: NUMBER"):
                next(lines)
            elif line.startswith("ITEM: BOX"):
                for _ in range(3):
                    next(lines)
            elif not line.startswith("ITEM:"):
                grain, kind, *rest = line.split()
                rows[grain] = (kind, [float(word) for word in rest])
    if step is not None:
        yield step, rows


def paths(path):
    """Columns of each tracer along time: {id: (type, [[...], ...])}, and the time between frames."""
    found, steps = {}, []
    for step, rows in frames(path):
        steps.append(step)
        for grain, (kind, values) in rows.items():
            found.setdefault(grain, (kind, []))[1].append(values)
    return found, (steps[1] - steps[0]) * TIME_STEP


def profile(path, columns):
    """The one table of a chunk file: rows of `columns` numbers."""
    with open(path, encoding="ascii") as lines:
        rows = [[float(word) for word in line.split()] for line in lines if not line.startswith("#")]
    return [row for row in rows if len(row) == columns]


def bootstrap(pairs):
    """Sum of the first over the sum of the second, with its standard error."""
    def ratio(sample):
        below = sum(b for _, b in sample)
        return sum(a for a, _ in sample) / below if below > 0.0 else math.nan
    chance = random.Random(1)
    tries = [ratio(chance.choices(pairs, k=len(pairs))) for _ in range(400)]
    mean = sum(tries) / len(tries)
    return ratio(pairs), math.sqrt(sum((t - mean) ** 2 for t in tries) / (len(tries) - 1))


def support(air, packing):
    """Share of the weight that air carries at this packing (Ergun), slope 20 degrees."""
    e = 1.0 - packing
    gradient = (150.0 * VISCOSITY * packing**2 * air / D**2 + 1.75 * AIR * packing * air**2 / D) / e**3
    return gradient / (packing * QUARTZ * GRAVITY * math.cos(math.radians(20.0)))


def strip(name, air):
    rows = [row for row in profile(name + ".profile", 5) if row[4] > 0.0]
    solid = sum(row[4] for row in rows)
    full = sorted(row[4] for row in rows)[len(rows) // 2]
    inside = [row for row in rows if row[4] > 0.5 * full]
    low, top = inside[0][1], inside[-1][1]
    middle = [row for row in inside if 0.3 < (row[1] - low) / (top - low) < 0.7]
    height = sum(row[1] for row in middle) / len(middle)
    speed = sum(row[3] for row in middle) / len(middle)
    shear = (sum((row[1] - height) * (row[3] - speed) for row in middle) /
             sum((row[1] - height) ** 2 for row in middle))
    packing = sum(row[4] for row in middle) / len(middle) / QUARTZ
    cell = rows[1][1] - rows[0][1]
    yield "air_m_s", air, 0.0
    yield "solids_kg_m2", solid * cell, 0.0
    yield "depth_m", top - low + cell, 0.0
    yield "speed_m_s", sum(row[3] * row[4] for row in rows) / solid, 0.0
    yield "shear_1_s", shear, 0.0
    yield "packing", packing, 0.0
    yield "support", support(air, packing), 0.0
    found, every = paths(name + ".way")
    end = low + 0.3 * (top - low)
    for kind, label in TRACERS.items():
        pairs = []
        for own, way in found.values():
            if own != kind:
                continue
            heights = [values[0] for values in way]
            last = next((i for i, z in enumerate(heights) if z < end), len(heights) - 1)
            pairs.append((heights[0] - heights[last], last * every))
        yield ("sinking_" + label + "_m_s", *bootstrap(pairs))


def main(folder, table):
    os.chdir(folder)
    print("# Grain-by-grain simulations (make grains).  case  quantity  value  standard error")
    for line in table:
        name, air, *_ = line.split()
        if os.path.exists(name + ".done"):
            for quantity, value, error in strip(name, float(air)):
                print(f"{name} {quantity} {value:.4g} {error:.2g}")


if __name__ == "__main__":
    main(sys.argv[1], [line for line in sys.stdin if line.strip()])
