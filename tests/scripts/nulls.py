#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Runs the commands on every scenario of configs/ and looks at their JSON: each null must be one
that `flourgold help COMMAND` names.  usage: tests/scripts/nulls.py PROGRAM"""
import fnmatch
import glob
import json
import subprocess
import sys

program = sys.argv[1]
scenarios = [path for path in sorted(glob.glob("configs/*.cfg")) if not path.endswith("blowers.cfg")]
WEATHER = "--weather configs/weather-demo.csv --samples 8"
EACH = ["loss {} --samples 8", "loss {} --samples 8 --vary run.throttle=5,60%",
        "loss {} --exact --set run.throttle=0.2", "settle {} --laws",
        "cleanup {} --exact", "sample {}", "day {} --samples 8", "check {} --effective",
        "measure {}", "card {} --present --exact"]
DEMO = ["loss {} configs/bench_high.cfg --samples 8", "loss {} --exact --set screen.opening=\"1/16in\"", "cleanup {} --samples 8",
        "cleanup {} --exact --set run.throttle=0.2", "day {} --exact --price 70",
        "doubts {} --samples 256", "tune {} --exact", "tune {} --exact --for-grain fine",
        "verdict {} --buckets 100 --found 200mg --samples 64",
        "sample {} --counts configs/counts-demo.csv", "dry {} " + WEATHER,
        "dry {} --weather configs/weather-demo.csv --exact", "card {} --present " + WEATHER,
        "blowers {} --exact --catalogue tests/commands/few_blowers.cfg"]
OTHER = ["streaks configs/wash.csv", "streaks configs/wash.gpx", "keys", "help", "calc"]


def run(line):
    """The JSON that a command line prints, or None: it has no answer."""
    words = line.replace('"', "").split() + ["--format", "json"]
    done = subprocess.run([program, *words], capture_output=True, text=True, check=False)
    return json.loads(done.stdout) if done.stdout else None


def nulls(value, path=""):
    """The paths of all nulls, places in lists left out."""
    if value is None:
        yield path
    elif isinstance(value, dict):
        for key, inner in value.items():
            yield from nulls(inner, f"{path}.{key}" if path else key)
    elif isinstance(value, list):
        for inner in value:
            yield from nulls(inner, path)


named = {}
passed = failed = answers = 0
for line in ([each.format(path) for path in scenarios for each in EACH] +
             [each.format("configs/demo.cfg") for each in DEMO] + OTHER):
    command = line.split()[0]
    if command not in named:
        named[command] = [name for row in run("help " + command)["nulls"]
                          for name in row["names"].split()]
    answer = run(line)
    answers += answer is not None
    unknown = sorted({path for path in nulls(answer or {})
                      if not any(fnmatch.fnmatchcase(path, name) for name in named[command])})
    passed += not unknown
    failed += bool(unknown)
    if unknown:
        print(f"flourgold {line}: null, and `flourgold help {command}` does not say so: "
              + ", ".join(unknown))
if answers < 50 or not named.get("loss"):
    print(f"only {answers} command lines had an answer")
    failed += 1
print(f"{passed} passed, {failed} failed")
sys.exit(failed > 0)
