#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Changes one operator or constant of the program at a time and runs the tests that reach it:
a change that no test notices shows where a test is missing.

  mutants.py [--count N] [--seed S] [--folders A,B] [--only FILE]   a sample of changes
  mutants.py --named tests/regression/mutants.list                  the changes of a list, which
                                                                    the figures on record must notice

Prints what survived, with file and line, and how many were killed.  Ends with 1 when fewer
than 90 % of a sample, or not all of a list, were killed.

A survivor costs the time of every test that reaches its line, so with --patience S a change is given
up as a survivor when the next, slower test would bring the tests tried above S processor seconds; the
survivor's line says how many were left out."""
import argparse
import os
import random
import re
import resource
import selectors
import shlex
import signal
import subprocess
import sys
import tempfile
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import covering
from covering import ROOT

BUILD = ROOT / 'build/mutants'

# What is changed, in code without comments and texts.  clang-format puts blanks around every
# binary operator and around nothing else.
SWAPS = [(' + ', ' - '), (' - ', ' + '), (' * ', ' / '), (' / ', ' * '),
         (' < ', ' >= '), (' > ', ' <= '), (' <= ', ' > '), (' >= ', ' < '),
         (' == ', ' != '), (' != ', ' == '), (' && ', ' || '), (' || ', ' && '),
         (' += ', ' -= '), (' -= ', ' += '), (' *= ', ' /= '), (' /= ', ' *= ')]
NUMBER = re.compile(r'(?<![\w.])(\d+\.\d*(?:[eE][-+]?\d+)?|\d+(?:[eE][-+]?\d+)?)(?![\w.])')
HIDDEN = re.compile(r'/\*.*?\*/|//[^\n]*|"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'', re.S)
# Sizes of arrays, places in them, cases, and what only the compiler reads.
PASSED_OVER = re.compile(r'^\s*(?:#|case\b|for \(|_Static_assert)')


def bare(text):
    """The text with comments and quoted parts blanked out, at the same places."""
    return HIDDEN.sub(lambda m: re.sub(r'[^\n]', ' ', m.group()), text)


def changed_number(word):
    """The number a tenth larger, or one more for a whole one; None for tolerances."""
    if re.fullmatch(r'\d+', word):
        return str(int(word) + 1) if len(word) < 7 else None
    value = float(word)
    if value == 0.0:
        return '0.1'
    return repr(value * 1.1) if 1e-6 <= value <= 1e9 else None


def candidates(path):
    """Every change of one file as (file, start, old, new)."""
    text = bare(path.read_text())
    found = []
    for match in re.finditer(r'(?m)^.*$', text):
        line, at = match.group() + ' ', match.start()
        if PASSED_OVER.match(line):
            continue
        for old, new in SWAPS:
            place = line.find(old)
            while place >= 0:
                found.append((path, at + place, old.rstrip(), new.rstrip()))
                place = line.find(old, place + 1)
        for number in NUMBER.finditer(line):
            before = line[:number.start()].rstrip()
            new = changed_number(number.group())
            if new and not before.endswith(('[', '%')):
                found.append((path, at + number.start(), number.group(), new))
    return found


def named_changes(path):
    """The changes of a list: blocks of `file`, `old` and `new` lines."""
    found, block = [], {}
    for line in path.read_text().splitlines() + ['']:
        if line.startswith('#'):
            continue
        key, _, value = line.partition(' ')
        if key:
            block[key] = value
        elif block:
            source = ROOT / block['file']
            text = source.read_text()
            if text.count(block['old']) != 1:
                sys.exit(f"{path}: {block['file']} holds this {text.count(block['old'])} times, "
                         f"it should once: {block['old']}")
            found.append((source, text.index(block['old']), block['old'], block['new']))
            block = {}
    return found


class Bench:
    """The programs of the unchanged sources, and one test job at a time with one object changed."""

    def __init__(self, reached, patience=0.0):
        self.reached, self.patience = reached, patience
        self.jobs = {job[0]: job for job in covering.jobs()}
        self.killer = {}
        self.lock = threading.Lock()
        # Without debug sections, which are most of what a linker reads.
        subprocess.run(['make', f'BUILD={BUILD.relative_to(ROOT)}', 'CFLAGS=-g0', 'test-programs'],
                       cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
        flags = (BUILD / 'flags').read_text().splitlines()
        self.compile, self.link = shlex.split(flags[0]), shlex.split(flags[1])
        self.libraries = [word for word in self.link if word.startswith(('-l', '-L'))]
        self.link = [word for word in self.link if word not in self.libraries]
        test_libraries = subprocess.run(['pkg-config', '--libs', 'cmocka'], check=True,
                                        capture_output=True, text=True).stdout.split()
        self.libraries += test_libraries

    def compiled(self, source, text, target):
        """Whether the text compiles, as the object `target` of the source."""
        changed = target.with_suffix('.c')
        changed.write_text(text)
        flags = [word for word in self.compile if word not in ('-g', '-MMD', '-MP')]
        done = subprocess.run(flags + ['-w', '-g0', f'-I{source.parent}', '-c', str(changed),
                                       '-o', str(target)],
                              cwd=ROOT, stderr=subprocess.DEVNULL, check=False)
        return done.returncode == 0

    def linked(self, folder, changed, program):
        """A program with the changed object before the library, whose own is then not taken."""
        target = folder / program
        if target.exists():
            return
        target.parent.mkdir(exist_ok=True)
        if program == 'flourgold':
            parts = [BUILD / 'obj/src/cli/main.o', changed]
        else:
            parts = [BUILD / f'obj/tests/unit/{target.name}.o', changed,
                     BUILD / 'tests/libsupport.a']
        subprocess.run(self.link + ['-Wl,-s', '-o', str(target)] + [str(part) for part in parts] +
                       [str(BUILD / 'libprogram.a')] + self.libraries, cwd=ROOT, check=True)

    @staticmethod
    def runs_program(unit):
        """Whether a unit program starts the program itself, so that it has to be linked too."""
        return 'FLOURGOLD' in (ROOT / f'tests/unit/{unit}.c').read_text()

    def order(self, source, line):
        """The jobs that reach the line, those first that killed in this file, then the quickest."""
        name = str(source.relative_to(ROOT))
        lines = [job for job, (_, files) in self.reached.items()
                 if job in self.jobs and (files is None or line in files.get(name, []))]
        kills = self.killer.get(name, {})
        return sorted(lines, key=lambda job: self.reached[job][0] / (1 + 5 * kills.get(job, 0)))

    def noticed(self, folder, changed, job):
        """Whether the job fails with the changed object."""
        name, unit, arguments = self.jobs[job]
        if not unit or self.runs_program(unit):
            self.linked(folder, changed, 'flourgold')
        if unit:
            self.linked(folder, changed, f'tests/{unit}')
        else:
            (folder / 'tests').mkdir(exist_ok=True)
            (folder / arguments[0][3:]).unlink(missing_ok=True)
            (folder / arguments[0][3:]).symlink_to(BUILD / arguments[0][3:])
        limit = 60.0 + 4.0 * self.reached[name][0]
        return fails([word.replace('{}', str(folder)) for word in arguments],
                     covering.environment(folder, FG_TEST_SLOWER='10'), limit)

    def verdict(self, change):
        """One of: same (the compiler made the same code), broken, unreached, survived, or the
        name of the job that noticed."""
        source, start, old, new = change
        text = source.read_text()
        line = text.count('\n', 0, start) + 1
        with tempfile.TemporaryDirectory(dir=BUILD) as name:
            folder = Path(name)
            changed = folder / source.with_suffix('.o').name
            if not self.compiled(source, text, changed):
                return 'broken'
            original = changed.read_bytes()
            if not self.compiled(source, text[:start] + new + text[start + len(old):], changed):
                return 'broken'
            if changed.read_bytes() == original:
                return 'same'
            order = self.order(source, line)
            spent = 0.0
            for tried, job in enumerate(order):
                spent += self.reached[job][0]
                if self.patience and tried and spent > self.patience:
                    return f'survived, {len(order) - tried} slower jobs not tried'
                if self.noticed(folder, changed, job):
                    with self.lock:
                        kills = self.killer.setdefault(str(source.relative_to(ROOT)), {})
                        kills[job] = kills.get(job, 0) + 1
                    return job
            return 'survived' if order else 'unreached'


def fails(arguments, environment, limit):
    """Whether the job ends badly, says FAILED, or one of its programs takes more processor time than
    the limit, in seconds.  A busy machine is no failure, but ten times the limit is."""
    job = subprocess.Popen(arguments, cwd=ROOT, env=environment, stdin=subprocess.DEVNULL,
                           stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
                           start_new_session=True, preexec_fn=lambda: resource.setrlimit(
                               resource.RLIMIT_CPU, (int(limit), int(limit) + 5)))
    try:
        return watched(job, time.monotonic() + 10.0 * limit)
    finally:
        try:
            os.killpg(job.pid, signal.SIGKILL)
        except ProcessLookupError:
            pass
        job.stdout.close()
        job.wait()


def watched(job, end):
    waiting = selectors.DefaultSelector()
    waiting.register(job.stdout, selectors.EVENT_READ)
    rest = b''
    while time.monotonic() < end:
        if not waiting.select(timeout=end - time.monotonic()):
            return True
        piece = os.read(job.stdout.fileno(), 65536)
        if not piece:
            return job.wait() != 0
        rest += piece
        if b'[  FAILED  ]' in rest or b'FAILED:' in rest:
            return True
        rest = rest[-20:]
    return True


def described(change):
    source, start, old, new = change
    text = source.read_text()
    line = text.count('\n', 0, start) + 1
    whole = text.splitlines()[line - 1].strip()
    return f'{source.relative_to(ROOT)}:{line}: {old.strip()} -> {new.strip()}   in: {whole}'


def sampled(bench, pool, changes, count):
    """Judges changes until `count` of them made other code that compiles."""
    results, pending = [], []
    changes = iter(changes)
    lock = threading.Lock()

    def work(_):
        while True:
            with lock:
                change = next(changes, None) if len(results) + len(pending) < count else None
                if not change:
                    return
                pending.append(change)
            verdict = bench.verdict(change)
            with lock:
                pending.remove(change)
                if verdict not in ('same', 'broken'):
                    results.append((change, verdict))
                    kept = lives(verdict)
                    print(f'{len(results):4d} {"LIVES" if kept else "dies "} {described(change)}'
                          f'   [{verdict}]', flush=True)

    list(pool.map(work, range(os.cpu_count() or 1)))
    return results


def lives(verdict):
    return verdict.startswith(('survived', 'unreached'))


def report(results, least):
    """Prints the survivors and the count; the exit status."""
    kept = [(change, verdict) for change, verdict in results if lives(verdict)]
    print()
    for change, verdict in sorted(kept, key=lambda pair: described(pair[0])):
        print(f'{verdict}: {described(change)}')
    killed = len(results) - len(kept)
    print(f'{killed} of {len(results)} killed', flush=True)
    return 0 if results and killed >= least * len(results) else 1


def main():
    parser = argparse.ArgumentParser(description=__doc__.split('\n')[0])
    parser.add_argument('--count', type=int, default=200)
    parser.add_argument('--seed', type=int, default=1)
    parser.add_argument('--folders', default='physics,model,study,stats')
    parser.add_argument('--only', action='append', help='a source file; may be given again')
    parser.add_argument('--named', type=Path, help='a list of changes')
    parser.add_argument('--patience', type=float, default=0.0,
                        help='processor seconds of tests for one change; 0: all that reach it')
    options = parser.parse_args()
    os.chdir(ROOT)
    BUILD.mkdir(parents=True, exist_ok=True)
    pool = ThreadPoolExecutor(os.cpu_count() or 1)
    if options.named:
        # The figures on record alone must notice these.
        bench = Bench({covering.REGRESSION[0]: [300.0, None]})
        changes = named_changes(options.named)
        return report(sampled(bench, pool, changes, len(changes)), 1.0)
    bench = Bench(covering.coverage_map(ROOT / 'build/coverage', BUILD / 'map.json', pool),
                  options.patience)
    files = ([ROOT / name for name in options.only or ()] or
             [path for folder in options.folders.split(',')
              for path in sorted(ROOT.glob(f'src/{folder}/*.c'))])
    changes = [change for path in files for change in candidates(path)]
    random.Random(options.seed).shuffle(changes)
    start = time.monotonic()
    results = sampled(bench, pool, changes, options.count)
    print(f'{(time.monotonic() - start) / max(1, len(results)):.1f} s a change')
    return report(results, 0.9)


if __name__ == '__main__':
    sys.exit(main())
