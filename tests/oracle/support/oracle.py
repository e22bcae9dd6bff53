# SPDX-License-Identifier: GPL-3.0-or-later
"""What the comparisons with independent codes share: running the program, counting."""

import json
import math
import os
import subprocess

PROGRAM = os.environ.get("FLOURGOLD", "build/flourgold")


class Oracle:
    """Counts comparisons; each failure says what was compared."""

    def __init__(self):
        self.passed = 0
        self.failed = 0

    def close(self, what, ours, theirs, relative):
        """Whether ours is within a share of theirs; what is not finite never is."""
        good = (
            math.isfinite(ours)
            and math.isfinite(theirs)
            and abs(ours - theirs) <= relative * abs(theirs)
        )
        if good:
            self.passed += 1
        else:
            self.failed += 1
            print(f"{what}: ours {ours!r}, theirs {theirs!r}, allowed {relative:g}")

    def finish(self):
        """The line that `make test-oracle` counts, and the exit status."""
        print(f"{self.passed} passed, {self.failed} failed")
        return 1 if self.failed or not self.passed else 0


def run(*arguments):
    """The JSON that the program prints for these arguments."""
    command = [PROGRAM, *arguments, "--format", "json"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60, check=False)
    if not done.stdout:
        raise RuntimeError(f"{command}: {done.stderr}")
    return json.loads(done.stdout)


def calc(name, **arguments):
    """The result of one formula."""
    return run("calc", name, *[f"{key}={value}" for key, value in arguments.items()])["result"]
