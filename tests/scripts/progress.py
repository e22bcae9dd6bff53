#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Long work says on a terminal how far it is, and leaves nothing behind.
usage: tests/scripts/progress.py PROGRAM"""
import os
import pty
import signal
import subprocess
import sys
import tempfile

program = sys.argv[1]
LONG = [program, "loss", "configs/demo.cfg", "--samples", "16384"]
passed = failed = 0


def check(what, holds):
    global passed, failed
    passed += bool(holds)
    failed += not holds
    if not holds:
        print("FAILED:", what)


def on_terminal(words, stop_at=None):
    """What the terminal shows, and how the program ended; Ctrl-C once it shows `stop_at`."""
    child, terminal = pty.fork()
    if child == 0:
        os.execv(words[0], words)
    shown = b""
    while True:
        try:
            some = os.read(terminal, 4096)
        except OSError:
            some = b""
        if not some:
            break
        shown += some
        if stop_at and stop_at in shown:
            os.write(terminal, b"\x03")
            stop_at = None
    status = os.waitpid(child, 0)[1]
    os.close(terminal)
    return shown, status


with tempfile.TemporaryDirectory() as folder:
    told = os.path.join(folder, "told.txt")
    shown, status = on_terminal(LONG + ["-o", told])
    check("share done and time left", b"% done, about " in shown and b" left" in shown)
    check("the line is taken away", shown.endswith(b"\r") and shown.split(b"\r")[-2].strip() == b"")
    check("it ends as ever", status == 0)
    piped = subprocess.run(LONG, capture_output=True, check=False)
    check("no word of it in a pipe", piped.stderr == b"")
    with open(told, "rb") as file:
        check("the same result", file.read() == piped.stdout)
    shown, status = on_terminal(LONG + ["--quiet", "-o", told])
    check("--quiet: not a byte", shown == b"" and status == 0)
    shown, status = on_terminal([*LONG[:3], "--exact", "-o", told])
    check("short work: not a byte", shown == b"" and status == 0)
    os.unlink(told)
    shown, status = on_terminal(LONG + ["-o", told], stop_at=b"% done")
    check("Ctrl-C ends it as a signal does", os.WIFSIGNALED(status) and os.WTERMSIG(status) == signal.SIGINT)
    check("Ctrl-C leaves no file", os.listdir(folder) == [])
    check("Ctrl-C leaves an empty line", shown.split(b"^C")[-1].endswith(b"\r"))
    check("Ctrl-C leaves no word", shown.split(b"^C")[-1].replace(b"\r", b"").strip() == b"")
print(f"{passed} passed, {failed} failed")
sys.exit(failed > 0)
