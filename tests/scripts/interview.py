#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Talks to `start` as a person at a terminal does.  usage: tests/scripts/interview.py PROGRAM"""
import os
import pty
import select
import sys
import tempfile

failures = 0
checks = 0


def check(holds, what):
    global failures, checks
    checks += 1
    if not holds:
        failures += 1
        print("FAILED:", what)


def read_until(terminal, mark):
    """What the program says up to the mark, or all it says within ten seconds."""
    said = ""
    while mark not in said:
        ready, _, _ = select.select([terminal], [], [], 10)
        try:
            piece = os.read(terminal, 4096).decode() if ready else ""
        except OSError:
            piece = ""
        if not piece:
            break
        said += piece
    return " ".join(said.split())


def interview(target, answers):
    """What is said to each answer, and after the last one up to the end."""
    child, terminal = pty.fork()
    if child == 0:
        os.execv(sys.argv[1], [sys.argv[1], "start", "-o", target])
    said = [read_until(terminal, "> ")]
    for answer in answers:
        os.write(terminal, (answer + "\n").encode())
        said.append(read_until(terminal, "> "))
    os.close(terminal)
    os.waitpid(child, 0)
    return said


with tempfile.TemporaryDirectory() as folder:
    target = os.path.join(folder, "s.cfg")
    talk = interview(target, ["stony", "rocky", "hilly", "2500", "back", "3000"] + [""] * 10 +
                     ["5000 cfm", "no", "5000", "Yes", "back", "500", "?"] + [""] * 5)
    check("1 of 18: How high" in talk[0], "the first question")
    check("does not fit" in talk[1] and "back for" not in talk[2], "two misses are just told")
    check("? if you do not know; back for the question before" in talk[3], "three misses: the ways out")
    check("2 of 18" in talk[4], "a number alone counts in feet")
    check("1 of 18" in talk[5] and "[2500 ft]" in talk[5], "back shows the answer given before")
    check("2 of 18" in talk[6], "and takes another")
    check("5000 cfm: 300 to 1000 cfm stand on" in talk[17] and "Sure?" in talk[17], "5000 cfm")
    check("[no]" in talk[17], "Enter is no")
    check("does not fit" in talk[18], "no is no volume")
    check("Sure?" in talk[19] and "13 of 18" in talk[20], "yes takes it")
    check("12 of 18" in talk[21] and "[5000 cfm]" in talk[21], "back once more")
    check("13 of 18" in talk[22], "500 is no doubt")
    check("A guess is written: 190 mph +- 15 mph." in talk[23], "? says what is assumed")
    check("14 of 18" in talk[23], "and goes on")
    check("Wrote " in talk[-1], "the scenario is written")
    with open(target) as scenario:
        text = scenario.read()
    check('elevation = "3000 ft";' in text, "the last word on the height")
    check('free_volume = "500 cfm";' in text, "the last word on the volume")
    check('nozzle_speed = "190 mph +- 15 mph";' in text, "the guess")

    target = os.path.join(folder, "t.cfg")
    talk = interview(target, ["", "25 %", "", "25", "y", "", "?"] + [""] * 5 + ["45 deg", "20 deg"] +
                     [""] * 8)
    check("Sure?" in talk[2] and "[dusty]" in talk[3], "Enter keeps what stood in brackets")
    check("Sure?" in talk[4] and "3 of 18" in talk[5], "25 % after y")
    check("Taken as usual: 0.3 mm" in talk[7], "? of a setting with a default")
    check("Sure?" in talk[13] and "11 of 18" in talk[14], "another answer in place of yes")
    with open(target) as scenario:
        text = scenario.read()
    check('moisture = "25 %";' in text and 'slope = "20 deg";' in text, "both as said last")

print(f"{checks - failures} passed, {failures} failed")
sys.exit(failures > 0)
