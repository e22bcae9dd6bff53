# SPDX-License-Identifier: GPL-3.0-or-later
"""Which test jobs run which line: every job is run once in a build with --coverage, each with
its own folder of counters.  Kept in a file until a source or a test changes."""
import hashlib
import json
import os
import subprocess
import tempfile
import threading
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
REGRESSION = ('regression', None, ['{}/tests/regression', 'tests/regression/numbers.txt'])


def environment(build, **more):
    """What a test job finds around it; `build` holds the program."""
    return dict(os.environ, FLOURGOLD=str(build / 'flourgold'), FLOURGOLD_DATA=str(ROOT),
                FG_RUNNER=str(build / 'tests/runner'), OMP_NUM_THREADS='1', LC_ALL='C', **more)


def jobs():
    """Every test job as (name, what builds it or None, arguments); {} stands for the folder
    that holds the programs."""
    units = sorted(path.stem for path in ROOT.glob('tests/unit/test_*.c'))
    checks = sorted(str(path.relative_to(ROOT)) for folder in ('published', 'commands')
                    for path in ROOT.glob(f'tests/{folder}/*.check'))
    found = [(name, name, ['{}/tests/' + name]) for name in units]
    found += [(path, None, ['{}/tests/runner', path]) for path in checks]
    return found + [REGRESSION]


def stamp():
    """A hash of everything the map depends on."""
    total = hashlib.sha256()
    for pattern in ('src/*/*.[ch]', 'include/*/*.h', 'tests/**/*', 'configs/*', 'Makefile'):
        for path in sorted(ROOT.glob(pattern)):
            if path.is_file() and path.suffix not in ('.py', '.pyc', '.list', '.mk'):
                total.update(str(path.relative_to(ROOT)).encode() + path.read_bytes())
    return total.hexdigest()


def lines_run(build, counters):
    """{file: [lines]} from one job's counters; the notes of the build are put beside them."""
    data = [path for path in counters.rglob('*.gcda') if '/obj/src/' in str(path)]
    for path in data:
        notes = build / path.relative_to(counters / str(build).lstrip('/')).with_suffix('.gcno')
        path.with_suffix('.gcno').symlink_to(notes)
    if not data:
        return {}
    out = subprocess.run(['gcov', '--json-format', '--stdout'] + [str(path) for path in data],
                         cwd=ROOT, capture_output=True, text=True, check=True).stdout
    found = {}
    for document in filter(None, out.splitlines()):
        for part in json.loads(document)['files']:
            name = part['file']
            if name.startswith('src/'):
                found.setdefault(name, set()).update(
                    line['line_number'] for line in part['lines'] if line['count'] > 0)
    return {name: sorted(lines) for name, lines in found.items()}


def run_job(build, job):
    """[processor seconds, {file: lines}] of one job in the build with counters.  A job that fails
    on the unchanged sources can tell nothing of a change: it reaches no line."""
    _, _, arguments = job
    with tempfile.TemporaryDirectory() as folder:
        run = subprocess.Popen([word.replace('{}', str(build)) for word in arguments], cwd=ROOT,
                               env=environment(build, GCOV_PREFIX=folder, FG_TEST_SLOWER='5'),
                               stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
                               stdin=subprocess.DEVNULL)
        _, status, usage = os.wait4(run.pid, 0)
        run.returncode = os.waitstatus_to_exitcode(status)
        if run.returncode != 0:
            print(f'left out, since it fails by itself: {job[0]}', flush=True)
        return [usage.ru_utime + usage.ru_stime,
                lines_run(build, Path(folder)) if run.returncode == 0 else {}]


def known_jobs(kept, now):
    """What an earlier run, whole or cut short, found of the same sources and tests."""
    if not kept.exists():
        return {}
    known = json.loads(kept.read_text())
    return known['jobs'] if known['stamp'] == now else {}


def keep(kept, now, reached):
    part = kept.with_suffix('.part')
    part.write_text(json.dumps({'stamp': now, 'jobs': reached}))
    part.replace(kept)


def coverage_map(build, kept, pool):
    """{job: [seconds, {file: [lines]}]}; made anew only when something changed.  Each job is kept
    once it has run, so that a run that was cut short goes on where it was."""
    now = stamp()
    reached = known_jobs(kept, now)
    missing = [job for job in jobs() if job[0] not in reached]
    if not missing:
        return reached
    print('running every test once, to see which lines it reaches', flush=True)
    subprocess.run(['make', f'BUILD={build.relative_to(ROOT)}', 'OPT=-O1', 'CFLAGS=--coverage',
                    'test-programs'], cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
    kept.parent.mkdir(parents=True, exist_ok=True)
    lock = threading.Lock()

    def run(job):
        found = run_job(build, job)
        with lock:
            reached[job[0]] = found
            keep(kept, now, reached)
            print(f'{found[0]:7.1f} s {job[0]}', flush=True)

    list(pool.map(run, missing))
    return reached
