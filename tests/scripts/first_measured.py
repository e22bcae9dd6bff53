#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""`measure` and `doubts` must name the same first thing to measure, in their words and in their
data, on every scenario of configs/.  usage: tests/scripts/first_measured.py PROGRAM"""
import glob
import json
import re
import subprocess
import sys

program = sys.argv[1]
scenarios = [path for path in sorted(glob.glob("configs/*.cfg")) if not path.endswith("blowers.cfg")]
ADVICE = {"measure": r"^ ?1\. ([a-z_.]+):", "doubts": r"^- Measure\s+your[^(]*\(([a-z_.]+)\):"}


def run(*words):
    """What the command prints."""
    return subprocess.run([program, *words, "--samples", "256"], capture_output=True, text=True,
                          check=False).stdout


passed = failed = 0
for path in scenarios:
    first = {}
    for command, pattern in ADVICE.items():
        found = re.search(pattern, run(command, path, "--full"), re.MULTILINE)
        first[command] = found.group(1) if found else None
    table = json.loads(run("measure", path, "--format", "json"))["measurements"]
    first["data"] = table[0]["removes_doubt_of"]
    same = first["data"] is not None and len(set(first.values())) == 1
    passed += same
    failed += not same
    if not same:
        print(f"{path}: {first}")
print(f"{passed} passed, {failed} failed")
sys.exit(failed > 0 or not scenarios)
