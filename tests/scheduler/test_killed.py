"""No acknowledged answer is lost when the program is killed at any moment."""

from __future__ import annotations

import os
import random
import select
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlite_utils import Database

from scheduler import Log
from scheduler.schema import INSERT, migrations, row_of
from tests.scheduler.conftest import make_note

ROOT = Path(__file__).parents[2]
RUNS = 100

# One process loads the code once and is forked for each run; the fork appends until it is killed
# and names every answer, and every note, only after it is on the disk.
WRITER = """
import os, signal, sys
from datetime import UTC, datetime
from scheduler import Answer, Log, Note

def write(path, run):
    log = Log(path)
    for i in range(10_000):
        answer = Answer(
            student="Mira", skill=f"skill {i}", kind="swara", seed=i, setting={"pad": "x" * 500},
            choices=("a", "b"), right=("a",), given="a", credit=1.0, heard=None, chance=0.5,
            predicted=0.5, reason="new", response_ms=900, utc=datetime.now(UTC), offset_min=0,
            monotonic_s=float(i), device="desk", session=f"run {run}",
        )
        note = Note(
            student="Mira", what="palta", data={"key": f"three {i}"}, utc_ms=i, offset_min=0,
            device="desk",
        )
        for row in (answer, note):
            log.append_all([row])
            os.write(1, row.uuid.encode() + b"\\n")

for run in range(int(sys.argv[2])):
    sys.stdin.readline()
    child = os.fork()
    if not child:
        write(sys.argv[1], run)
        os._exit(1)
    os.write(1, b"pid %d\\n" % child)
    os.waitpid(child, 0)
    os.write(1, b"dead\\n")
"""


def lines_until(stream: int, is_last, *, seconds: float, kept: bytes = b"") -> tuple[list, bytes]:
    """Lines from a pipe until `is_last` or until the time is over, and what is left."""
    lines: list[str] = []
    until = time.monotonic() + seconds
    while (left := until - time.monotonic()) > 0:
        while b"\n" in kept:
            line, kept = kept.split(b"\n", 1)
            lines.append(line.decode())
            if is_last(lines[-1]):
                return lines, kept
        if select.select([stream], [], [], left)[0]:
            kept += os.read(stream, 65_536)
    return lines, kept


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system cannot fork a process")
def test_a_hundred_kills_at_random_moments_lose_no_acknowledged_answer(tmp_path):
    path, rng, acknowledged = tmp_path / "log.db", random.Random(2026), []
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    writer = subprocess.Popen(
        [sys.executable, "-c", WRITER, str(path), str(RUNS)],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        env=environment,
    )
    stream, kept = writer.stdout.fileno(), b""
    for _ in range(RUNS):
        writer.stdin.write(b"go\n")
        writer.stdin.flush()
        lines, kept = lines_until(stream, lambda line: "pid" in line, seconds=20, kept=kept)
        child = int(lines[-1].split()[1])
        more = []
        for _ in range(rng.randint(0, 9)):  # in the midst of so many; of none, while it opens
            named, kept = lines_until(stream, lambda line: len(line) == 36, seconds=20, kept=kept)
            more += named
        named, kept = lines_until(
            stream, lambda line: False, seconds=rng.uniform(0, 0.01), kept=kept
        )
        more += named
        os.kill(child, signal.SIGKILL)
        rest, kept = lines_until(stream, lambda line: line == "dead", seconds=20, kept=kept)
        assert rest[-1] == "dead"
        acknowledged += [line for line in lines + more + rest if len(line) == 36]
    writer.stdin.close()
    assert writer.wait(20) == 0
    writer.stdout.close()
    with Log(path) as log:
        assert log.trouble is None
        notes = {note.uuid for note in log.notes()}
        kept_ids = notes | {answer.uuid for answer in log.answers()}
    conn = sqlite3.connect(path)
    assert conn.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    conn.close()
    assert len(acknowledged) > RUNS
    assert set(acknowledged) <= kept_ids
    assert len(notes & set(acknowledged)) > RUNS / 3
    assert len(kept_ids) <= len(acknowledged) + RUNS  # at most one a run was not yet named


# Dies after so many steps of SQLite's machine within a migration, as a file's name has them.
MIGRATOR = """
import os, signal, sys
from itertools import count
from sqlite_utils import Database
from scheduler.schema import migrations

for path in sys.argv[1:]:
    child = os.fork()
    if not child:
        db = Database(path, execute_plugins=False)
        last, steps = int(path.rpartition("-")[2]), count(1)
        die = lambda: next(steps) >= last and os.kill(os.getpid(), signal.SIGKILL)
        db.conn.set_progress_handler(die, 1)
        migrations.apply(db)
        os._exit(1)
    assert os.WTERMSIG(os.waitpid(child, 0)[1]) == signal.SIGKILL, path
"""


def test_a_migration_killed_on_its_way_is_done_when_the_log_is_opened_next(tmp_path, answer_to):
    rows = [row_of(answer_to(f"skill {i % 7}")) for i in range(3000)]
    # Four fall into what is done once the skills have their index, the last two into what follows.
    steps = (1000, 9000, 27_000, 30_800, 30_930, 31_100, 31_220, 31_400, 31_900)
    paths = [tmp_path / f"log-{n}" for n in steps]
    for path in paths:
        with Database(path, execute_plugins=False) as db:
            migrations.apply(db, stop_before="0003 by skill")
            with db.atomic():
                db.conn.executemany(INSERT, rows)
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-c", MIGRATOR, *map(str, paths)]
    subprocess.run(command, env=environment, check=True, timeout=60)
    done = []
    for path in paths:
        with closing(sqlite3.connect(path)) as conn:
            made = {row[0] for row in conn.execute("SELECT name FROM sqlite_master")}
        assert not any(name.startswith("notes") for name in made)  # nothing is half done
        left_out = sum(name.startswith("left_out") for name in made)
        assert left_out in (0, 4)
        done.append(("answers_by_skill" in made, left_out > 0))
        with Log(path) as log:
            assert log.trouble is None
            assert migrations.pending(log._db) == []
            assert log.count() == 3000
            assert log._db.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            assert len(log.latest("Mira", "skill 3", 500)) == 429
            log.leave_out("day 0", student="Mira", device="", utc=datetime.now(UTC))
            assert log.latest("Mira", "skill 3", 500) == []
            log.append_all([make_note()])
    assert done == [(False, False)] * 3 + [(True, False)] * 4 + [(True, True)] * 2
