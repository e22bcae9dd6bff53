#!/usr/bin/python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Counting statistics against scipy, and by simulation: limits cover at their stated rate, the
decide-as-you-go table keeps its risks, chances come true as often as they say."""

import math
import os
import sys
import tempfile

sys.dont_write_bytecode = True
sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "support"))

import numpy
from scipy import optimize, stats

from oracle import Oracle, calc, run

DEMO = os.path.join(os.path.dirname(os.path.abspath(__file__)), "../../configs/demo.cfg")


def within(oracle, what, value, low, high):
    """Counts whether low <= value <= high."""
    if math.isfinite(value) and low <= value <= high:
        oracle.passed += 1
    else:
        oracle.failed += 1
        print(f"{what}: {value!r} is not between {low!r} and {high!r}")


def near(oracle, what, ours, theirs, relative, absolute=0.0):
    """close(), but for an expected 0."""
    if abs(ours - theirs) <= absolute:
        oracle.passed += 1
    else:
        oracle.close(what, ours, theirs, relative)


def gamma_quantile(tail, shape, above):
    """scipy's own loses its way in far tails of large shapes (5e-7 at 1e7); there the
    Cornish-Fisher series of the gamma distribution is good to more than ten digits."""
    if shape < 10**6:
        return stats.gamma.isf(tail, shape) if above else stats.gamma.ppf(tail, shape)
    z = stats.norm.isf(tail) if above else stats.norm.ppf(tail)
    root = math.sqrt(shape)
    return shape + z * root + (z * z - 1) / 3 + (z**3 - 7 * z) / (36 * root)


def limits(oracle):
    for count in (0, 1, 2, 7, 50, 999, 10**5, 3 * 10**5, 10**7, 10**9, 10**12):
        for confidence in (0.5, 0.9, 0.95, 0.999, 0.999999):
            ours = calc("poisson", count=count, confidence=confidence)
            tail = 0.5 * (1 - confidence)
            what = f"poisson {count} at {confidence}"
            lower = gamma_quantile(tail, count, False) if count else 0
            near(oracle, what, ours["lower"], lower, 1e-9)
            near(oracle, what, ours["upper"], gamma_quantile(tail, count + 1, True), 1e-9)
    shares = ((0, 1), (1, 1), (3, 7), (18, 20), (50, 1000), (500000, 10**6), (1, 10**6))
    for found, of in shares + ((10**6, 10**6), (999999, 10**6), (4 * 10**5, 10**6)):
        for confidence in (0.8, 0.95, 0.9999):
            ours = calc("binomial", found=found, of=of, confidence=confidence)
            tail = 0.5 * (1 - confidence)
            lower = stats.beta.ppf(tail, found, of - found + 1) if found else 0
            upper = stats.beta.isf(tail, found + 1, of - found) if found < of else 1
            what = f"binomial {found} of {of} at {confidence}"
            near(oracle, what, ours["lower"], lower, 1e-8)
            near(oracle, what, ours["upper"], upper, 1e-8)


def posteriors(oracle):
    for shape, rate, count, exposure, threshold in (
        (3, 5, 3, 2, 1),
        (0.5, 0, 0, 4, 0.3),
        (0.5, 0, 12, 4, 4.5),
        (1, 1, 10**6, 10**4, 100.1),
        (2, 0.1, 10**9, 10**5, 10000.2),
        (40, 20, 0, 30, 0.2),
    ):
        prior = {"shape": shape, "rate": rate}
        ours = calc("posterior", **prior, count=count, exposure=exposure, threshold=threshold)
        theirs = stats.gamma(shape + count, scale=1 / (rate + exposure))
        oracle.close("posterior mean", ours["mean"], theirs.mean(), 1e-12)
        oracle.close("posterior chance", ours["chance_above"], theirs.sf(threshold), 1e-7)


def grains(oracle):
    for error, confidence in ((0.5, 0.95), (0.1, 0.9), (0.03, 0.99), (2.0, 0.8)):
        ours = calc("grains_needed", relative_error=error, confidence=confidence)
        z = stats.norm.isf(0.5 * (1 - confidence))
        n = max(1, math.ceil((z / error) ** 2))
        oracle.close("grains needed", ours["grains"], n, 0)
        low, high = math.ceil(n * (1 - error) - 1e-9 * n), math.floor(n * (1 + error) + 1e-9 * n)
        theirs = stats.poisson.cdf(high, n) - stats.poisson.cdf(low - 1, n)
        oracle.close("chance within", ours["within"], theirs, 1e-9)


def form(folder, stations):
    """A form of {name: [colours of each bucket]}."""
    path = os.path.join(folder, "counts.csv")
    with open(path, "w", encoding="utf-8") as file:
        file.write("station,colours\n")
        for name, counts in stations.items():
            for count in counts:
                file.write(f"{name},{count}\n")
    return path


def fitted_k(counts):
    """Negative binomial exponent by scipy's minimiser; infinite where Poisson is as likely."""
    counts = numpy.asarray(counts)
    mean = counts.mean()

    def minus(log_k):
        k = math.exp(log_k)
        return -stats.nbinom.logpmf(counts, k, k / (k + mean)).sum()

    fine = {"xatol": 1e-10}
    best = optimize.minimize_scalar(minus, bounds=(-8, 12), method="bounded", options=fine)
    ratio = 2 * (stats.poisson.logpmf(counts, mean).sum() * -1 - best.fun)
    return math.exp(best.x), ratio


def scatter(oracle, folder):
    sets = {
        "a": [3, 9, 1, 14, 0, 22, 5],
        "b": [110, 95, 160, 71, 88],
        "c": [0, 0, 0, 40],
        "d": [12, 9, 13, 11, 10, 12],
        "e": [1, 0, 0, 3, 0, 1, 0, 0, 6, 2],
    }
    rows = run("sample", DEMO, "--counts", form(folder, sets))["stations"]
    for row in rows:
        counts = sets[row["station"]]
        mean = sum(counts) / len(counts)
        chi2 = sum((c - mean) ** 2 / mean for c in counts)
        oracle.close("chi2", row["dispersion_chi2"], chi2, 1e-9)
        chance = stats.chi2.sf(chi2, len(counts) - 1)
        oracle.close("its chance", row["dispersion_chance"], chance, 1e-7)
        k, ratio = fitted_k(counts)
        if row["negative_binomial_k"] is None:
            within(oracle, "no k, no gain", ratio, -1e-3, 1e-3)
            continue
        oracle.close("k", row["negative_binomial_k"], k, 1e-3)
        oracle.close("likelihood ratio", row["likelihood_ratio"], ratio, 1e-5)


def coverage(oracle, folder):
    """Nominal 95 % limits of colours a bucket: chance buckets at least that often; scattered
    ones nearly so when there are eight or more of them."""
    random_numbers = numpy.random.default_rng(20240601)
    for mean, k, buckets, least in (
        (3, None, 5, 0.94),
        (15, None, 8, 0.94),
        (0.4, None, 6, 0.94),
        (8, 1.0, 8, 0.90),
        (20, 2.0, 10, 0.91),
        (6, 4.0, 12, 0.91),
        (6, 1.0, 4, 0.82),
    ):
        held = tried = 0
        for _ in range(6):
            sets = {}
            for station in range(200):
                rates = mean if k is None else random_numbers.gamma(k, mean / k, buckets)
                sets[f"s{station}"] = random_numbers.poisson(rates, buckets)
            rows = run("sample", DEMO, "--counts", form(folder, sets))["stations"]
            for row in rows:
                held += row["grains_per_bucket_low"] <= mean <= row["grains_per_bucket_high"]
            tried += len(rows)
        within(oracle, f"coverage, mean {mean}, k {k}, {buckets} buckets", held / tried, least, 1)


def chances(oracle, folder):
    """Draw a true rate from the prior, then counts: of stations said to pay with a chance near
    p, a share near p pays.  The chance taken is that of counting alone."""
    random_numbers = numpy.random.default_rng(7)
    threshold_rate = run("sample", DEMO)["at_stay_rate"]["rate"]
    said, paid = [], []
    for _ in range(6):
        truth = random_numbers.uniform(0, 2 * threshold_rate, 200)
        sets = {f"s{i}": [random_numbers.poisson(rate)] for i, rate in enumerate(truth)}
        for row in run("sample", DEMO, "--counts", form(folder, sets))["stations"]:
            said.append(row["chance_pays_by_count"])
            paid.append(truth[int(row["station"][1:])] > threshold_rate)
    said, paid = numpy.array(said), numpy.array(paid)
    within(oracle, "all chances", abs(said.mean() - paid.mean()), 0, 0.03)
    for low, high in ((0.0, 0.2), (0.8, 1.0)):
        some = (said >= low) & (said <= high)
        within(oracle, "chances come true", abs(said[some].mean() - paid[some].mean()), 0, 0.03)


def follow(table, rate, random_numbers):
    """Counts bucket after bucket by the table; the word it ends with and the buckets taken."""
    total = 0
    for row in table:
        total += random_numbers.poisson(rate)
        if row["leave_at_most"] is not None and total <= row["leave_at_most"]:
            return "leave", row["bucket"]
        if total >= row["stay_at_least"]:
            return "stay", row["bucket"]
    return "open", table[-1]["bucket"]


def sequential(oracle):
    random_numbers = numpy.random.default_rng(11)
    cases = ((2, 5, 0.1, 0.1), (0.5, 1.5, 0.05, 0.2), (10, 13, 0.05, 0.05))
    for leave, stay, alpha, beta in cases:
        sets = (f"leave_rate={leave}", f"stay_rate={stay}", f"alpha={alpha}", f"beta={beta}")
        words = [w for s in (*sets, "most_buckets=60") for w in ("--set", "sample." + s)]
        told = run("sample", DEMO, *words)
        for rate, group in ((leave, told["at_leave_rate"]), (stay, told["at_stay_rate"])):
            ends = [follow(told["sequential"], rate, random_numbers) for _ in range(6000)]
            for word in ("leave", "stay", "open"):
                share = sum(end[0] == word for end in ends) / len(ends)
                p = group[f"chance_{word}"]
                error = 4 * math.sqrt(max(p * (1 - p), 1e-4) / len(ends))
                within(oracle, f"{word} at {rate}", share, p - error, p + error)
            mean = numpy.mean([end[1] for end in ends])
            oracle.close("buckets to a decision", mean, group["expected_buckets"], 0.05)
        within(oracle, "false stay", told["at_leave_rate"]["chance_stay"], 0, alpha / (1 - beta))
        within(oracle, "false leave", told["at_stay_rate"]["chance_leave"], 0, beta / (1 - alpha))
        both = told["at_leave_rate"]["chance_stay"] + told["at_stay_rate"]["chance_leave"]
        within(oracle, "both risks", both, 0, alpha + beta)


def richest(oracle, folder):
    """Chances to be richer, by drawing from the posteriors."""
    random_numbers = numpy.random.default_rng(3)
    sets = {"a": [12, 15, 11], "b": [9, 14], "c": [10, 9, 13, 12], "d": [2, 3]}
    told = run("sample", DEMO, "--counts", form(folder, sets))
    if any(row["law"] != "poisson" for row in told["stations"]):
        raise RuntimeError("these counts were to be plain")
    draws = numpy.array(
        [random_numbers.gamma(0.5 + sum(c), 1 / len(c), 400000) for c in sets.values()]
    )
    for i, row in enumerate(told["stations"]):
        share = (draws.argmax(0) == i).mean()
        within(oracle, "richest", row["chance_richest"] - share, -0.004, 0.004)
    best = list(sets).index(told["richest"])
    for pair in told["comparisons"]:
        other = list(sets).index(pair["than"])
        share = (draws[best] > draws[other]).mean()
        within(oracle, "richer", pair["chance_richer"] - share, -0.004, 0.004)


def main():
    oracle = Oracle()
    limits(oracle)
    posteriors(oracle)
    grains(oracle)
    sequential(oracle)
    with tempfile.TemporaryDirectory() as folder:
        scatter(oracle, folder)
        coverage(oracle, folder)
        chances(oracle, folder)
        richest(oracle, folder)
    return oracle.finish()


if __name__ == "__main__":
    sys.exit(main())
