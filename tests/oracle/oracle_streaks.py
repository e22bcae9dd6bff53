#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Kriging of the open soil survey of r-cran-sp (Meuse, 155 places, zinc) against gstat, the map
projection against pyproj, the regression against scipy, and our GPX read back by gpsbabel."""

import csv
import io
import math
import os
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "support"))

import pyproj
from scipy import stats

from oracle import Oracle, run

WASH = os.path.join(os.path.dirname(os.path.abspath(__file__)), "../../configs/wash.csv")

# Name, our text, and the same model for gstat: its exponential has exp(-h/a), its Gaussian
# exp(-(h/a)^2), its sill leaves the nugget out.
MODELS = (
    ("exponential", "exponential nugget=20000 sill=150000 range=900",
     "vgm(130000, 'Exp', 300, 20000)"),
    ("spherical", "spherical nugget=0 sill=150000 range=900", "vgm(150000, 'Sph', 900)"),
    ("gaussian", "gaussian nugget=15000 sill=150000 range=900",
     "vgm(135000, 'Gau', 900/sqrt(3), 15000)"),
    ("turned", "exponential nugget=20000 sill=150000 range=1200 direction=40 ratio=0.5",
     "vgm(130000, 'Exp', 400, 20000, anis = c(40, 0.5))"),
)
PLACES = ((179500.0, 331500.0), (180200.0, 332400.0), (181000.0, 333400.0), (178700.0, 330100.0))

R_SCRIPT = """
suppressPackageStartupMessages({{library(sp); library(gstat)}})
data(meuse)
write.csv(data.frame(x_m = meuse$x, y_m = meuse$y, reading = meuse$zinc), '{folder}/meuse.csv',
          row.names = FALSE, quote = FALSE)
coordinates(meuse) <- ~x+y
at <- data.frame(x = c({xs}), y = c({ys})); coordinates(at) <- ~x+y
options(digits = 17)
for (m in list({models})) {{
  for (n in c(200, 32)) {{
    k <- krige(zinc ~ 1, meuse, at, model = m, nmax = n, debug.level = 0)
    v <- krige.cv(zinc ~ 1, meuse, model = m, nmax = n, verbose = FALSE, debug.level = 0)
    cat('row', n, k$var1.pred, k$var1.var, sqrt(mean(v$residual^2)), mean(v$zscore^2),
        -mean(v$residual), '\\n')
  }}
}}
idw <- krige(zinc ~ 1, meuse, at, set = list(idp = 2), debug.level = 0)
cat('idw', idw$var1.pred, '\\n')
"""


def gstat(folder):
    """What gstat prints: a row of numbers for each model and number of neighbours, and idw."""
    script = os.path.join(folder, "krige.R")
    with open(script, "w", encoding="utf-8") as file:
        file.write(R_SCRIPT.format(
            folder=folder,
            xs=", ".join(str(x) for x, _ in PLACES),
            ys=", ".join(str(y) for _, y in PLACES),
            models=", ".join(model for _, _, model in MODELS)))
    done = subprocess.run(["Rscript", script], capture_output=True, text=True, timeout=120,
                          check=True)
    lines = [line.split() for line in done.stdout.splitlines()]
    rows = [[float(word) for word in line[1:]] for line in lines if line and line[0] == "row"]
    idw = [float(word) for line in lines if line and line[0] == "idw" for word in line[1:]]
    return rows, idw


def compare_kriging(oracle, folder):
    rows, idw = gstat(folder)
    path = os.path.join(folder, "meuse.csv")
    count = len(PLACES)
    for m, (name, text, _) in enumerate(MODELS):
        for i, neighbours in enumerate((200, 32)):
            # With few neighbours and a direction the two choose different ones.
            if name == "turned" and neighbours < 200:
                continue
            _, *theirs = rows[2 * m + i]
            what = f"meuse, {name}, {neighbours} neighbours"
            options = ("--variogram", text, "--neighbours", str(neighbours))
            for k, (x, y) in enumerate(PLACES):
                result = run("streaks", path, "--at", f"{x},{y}", *options)
                ours = result["at"]
                oracle.close(f"{what}: estimate at {x},{y}", ours["estimate"], theirs[k], 1e-8)
                oracle.close(f"{what}: variance at {x},{y}", ours["variance"],
                             theirs[count + k], 1e-7)
                if neighbours == 200:
                    oracle.close(f"inverse distance at {x},{y}", ours["inverse_distance"], idw[k],
                                 1e-9)
            cross = result["cross_validation"]
            oracle.close(f"{what}: left out, rmse", cross["rmse"], theirs[2 * count], 1e-7)
            oracle.close(f"{what}: left out, z^2", cross["standardised"], theirs[2 * count + 1],
                         1e-7)
            oracle.close(f"{what}: left out, mean error", cross["mean_error"],
                         theirs[2 * count + 2], 1e-5)
    # Fitted by itself, it must foretell this survey about as well as the models above.
    fitted = run("streaks", path)
    best = min(row[1 + 2 * count] for row in rows)
    oracle.close("meuse, fitted: left out, rmse against the best above",
                 fitted["cross_validation"]["rmse"], best, 0.06)


def compare_projection(oracle, folder):
    """Places up to 20 km from the middle: against PROJ's projection, and lengths against the
    geodesic, which the header says they exceed by less than 5 parts in a million."""
    geod = pyproj.Geod(ellps="WGS84")
    for latitude, longitude in ((34.0, -113.0), (-31.5, 121.5), (64.5, -165.4), (0.0, 179.99)):
        names, points = [], []
        for k in range(24):
            lon, lat, _ = geod.fwd(longitude, latitude, 15.0 * k, 500.0 + 810.0 * k)
            points.append((lat, lon))
            names.append(f"P{k}")
        # The median of latitudes and longitudes is the origin: add pairs until it is the middle.
        path = os.path.join(folder, "points.csv")
        with open(path, "w", encoding="utf-8") as file:
            file.write("name,latitude,longitude,reading\n")
            for k in range(len(points) + 1):
                file.write(f"M{k},{latitude!r},{longitude!r},{k}\n")
            for k, (lat, lon) in enumerate(points):
                file.write(f"{names[k]},{lat!r},{lon!r},{k}\n")
        flags = {flag["name"]: flag for flag in run("streaks", path)["flags"]}
        tm = pyproj.Proj(proj="tmerc", lat_0=latitude, lon_0=longitude, k=1, ellps="WGS84")
        for name, (lat, lon) in zip(names, points):
            x, y = tm(lon, lat)
            ours = flags[name]
            true = geod.inv(longitude, latitude, lon, lat)[2]
            off = math.hypot(ours["x_m"] - x, ours["y_m"] - y)
            oracle.close(f"{name} of {latitude},{longitude}: PROJ", 1.0 + off, 1.0, 1e-4)
            length = math.hypot(ours["x_m"], ours["y_m"])
            oracle.close(f"{name} of {latitude},{longitude}: geodesic", length, true, 5e-6)


def compare_regression(oracle):
    with open(WASH, encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    pairs = [(float(r["black_sand_percent"]), float(r["colours"])) for r in rows if r["colours"]]
    theirs = stats.linregress([x for x, _ in pairs], [y for _, y in pairs])
    ours = run("streaks", WASH)["pan"]
    half = stats.t.ppf(0.975, len(pairs) - 2) * theirs.stderr
    for name, value in (("slope", theirs.slope), ("intercept", theirs.intercept),
                        ("r", theirs.rvalue), ("p_value", theirs.pvalue),
                        ("slope_error", theirs.stderr), ("slope_low", theirs.slope - half),
                        ("slope_high", theirs.slope + half)):
        oracle.close(f"regression: {name}", ours[name], value, 1e-8)


def compare_gpx(oracle, folder):
    """gpsbabel must find every flag where we put it, by name."""
    path = os.path.join(folder, "flags.gpx")
    result = run("streaks", WASH, "--gpx", path)
    done = subprocess.run(["gpsbabel", "-i", "gpx", "-f", path, "-o", "unicsv", "-F", "-"],
                          capture_output=True, text=True, timeout=60, check=True)
    seen = {row["Name"]: row for row in csv.DictReader(io.StringIO(done.stdout))}
    extra = len(result["next"]) + len(result["old_workings"])
    oracle.close("gpx: places read back", float(len(seen)), float(len(result["flags"]) + extra), 0)
    for flag in result["flags"]:
        row = seen.get(f"{int(flag['rank'])} {flag['name']}", {"Latitude": "nan", "Longitude": "nan"})
        for key, name in (("latitude", "Latitude"), ("longitude", "Longitude")):
            oracle.close(f"gpx: {flag['name']} {key}", float(row[name]), flag[key], 1e-7)
    # And we read our own.
    again = run("streaks", path)
    oracle.close("gpx: flags read again", float(len(again["flags"])), float(len(result["flags"])), 0)


def main():
    oracle = Oracle()
    with tempfile.TemporaryDirectory() as folder:
        compare_kriging(oracle, folder)
        compare_projection(oracle, folder)
        compare_gpx(oracle, folder)
    compare_regression(oracle)
    return oracle.finish()


if __name__ == "__main__":
    sys.exit(main())
