#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Commands give one answer to one question, on every scenario of configs/: `measure` and `doubts`
name the same first thing to measure, in words and in data; `sample` and `card` print the same lines
to leave or to stay by; `tune` and `card` name the same settings, whatever the seed, and the same
interval of cleaning, which is that of `cleanup` and of `verdict` at those settings.  usage: tests/scripts/same_answers.py PROGRAM"""
import glob
import json
import re
import subprocess
import sys

program = sys.argv[1]
scenarios = [path for path in sorted(glob.glob("configs/*.cfg")) if not path.endswith("blowers.cfg")]
ADVICE = {"measure": r"^ ?1\. ([a-z_.]+):", "doubts": r"^- Measure\s+your[^(]*\(([a-z_.]+)\):"}


OWN = ["--set", "sample.leave_rate=2", "--set", "sample.stay_rate=5"]


def run(*words):
    """What the command prints."""
    return subprocess.run([program, *words], capture_output=True, text=True, check=False).stdout


def first_to_measure(path):
    """The first thing to measure, by each command and by the data."""
    few = ["--samples", "256"]
    for command, pattern in ADVICE.items():
        found = re.search(pattern, run(command, path, "--full", *few), re.MULTILINE)
        yield found and found.group(1)
    yield json.loads(run("measure", path, "--format", "json", *few))["measurements"][0][
        "removes_doubt_of"]


def lines_to_decide(path, rates):
    """The first lines to leave or to stay by, as each command prints them."""
    for words in (["sample", path, "--full"], ["card", path, "--exact"]):
        yield "\n".join(re.findall(r"^after  [1-6]: .*", run(*words, *rates), re.MULTILINE))


def answered(*words):
    """What the command says in data; None where it has no answer."""
    text = run(*words, "--format", "json")
    return json.loads(text) if text else {}


def best_settings(path):
    """The best settings, by each command and by two seeds."""
    for words in (["tune", path], ["card", path], ["tune", path, "--seed", "5"]):
        yield json.dumps(answered(*words).get("settings"))


def interval(path):
    """Minutes between cleanings: at the best settings, then of the deck so set."""
    found = answered("tune", path)
    at = found.get("settings", {})
    if not at:
        yield "stalls"
        return
    sets = [f"--set=run.throttle={at['throttle']}", f"--set=run.gate_opening={at['gate_opening']}",
            f"--set=deck.slope={at['slope_deg']:.9f} deg",
            f"--set=run.feed={at['feed_kg_s']:.12f} kg/s"]
    yield found["cleaning_interval_min"]
    yield answered("card", path)["cleaning_interval_min"]
    yield answered("cleanup", path, *sets)["cleaning_interval_min"]
    yield answered("verdict", path, "--buckets", "60", "--found", "0.12 g", *sets)[
        "cleaning_interval_min"]


def searched(path):
    """What takes a search, on three decks: with a gain, and without."""
    if path in ("configs/demo.cfg", "configs/bench_high.cfg", "configs/wash_clayey.cfg"):
        yield "best settings", list(best_settings(path))
        yield "minutes between cleanings", list(interval(path))


passed = failed = 0
for path in scenarios:
    for name, answers in (("first to measure", list(first_to_measure(path))),
                          ("leave or stay", list(lines_to_decide(path, []))),
                          ("leave or stay by own rates", list(lines_to_decide(path, OWN))),
                          *searched(path)):
        same = bool(answers[0]) and len(set(answers)) == 1
        passed += same
        failed += not same
        if not same:
            print(f"{path}: {name}: {answers}")
print(f"{passed} passed, {failed} failed")
sys.exit(failed > 0 or not scenarios)
