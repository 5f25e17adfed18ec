"""Killed at any moment, the program loses at most the last five seconds of work."""

from __future__ import annotations

import random
import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

DRIVER = Path(__file__).parent / "edit_until_killed.py"
PROMISE_S = 5.0
PATIENCE_S = 60.0  # with a start on a busy machine
SEATS = 10
KILLS_PER_SEAT = 6
LATE_KILLS = 2


class Seat:
    """One user whose program is killed again and again."""

    def __init__(self, folder: Path, seed: int) -> None:
        self.recovery = folder / "recovery"
        self.log = folder / "log"
        self.log.touch()
        self.choice = random.Random(seed)  # noqa: S311 - no secret
        self.killed_at_s: list[tuple[int, float]] = []  # last edit before each kill, and when
        self.kept = -1
        self.lost_s: list[float] = []
        self.kills_with_work = 0
        self.start_s = 0.0  # of the last start that was waited for

    def edits(self) -> list[tuple[int, float]]:
        lines = self.log.read_text("ascii").splitlines()
        return [(int(number), float(moment)) for number, moment in map(str.split, lines)]

    def start(self, *more: str) -> subprocess.Popen[str]:
        edits = self.edits()
        first = edits[-1][0] + 1 if edits else 0
        seed = str(self.choice.randrange(2**31))
        command = [sys.executable, str(DRIVER), str(self.recovery), str(self.log), str(first), seed]
        return subprocess.Popen(
            [*command, *more], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
        )

    def live_and_die(self, *, is_early: bool) -> None:
        """Start, let it work for a random time, kill, and see what it had recovered.

        Parameters
        ----------
        is_early : bool
            In the middle of starting and recovering, or soon after it. Else late enough to break
            the promise, if nothing were written; that time counts from the first edit on, because
            a start takes any time on a busy machine.
        """
        begin_s = time.monotonic()
        said = ""
        with self.start() as process:
            if is_early:
                wait_s = self.choice.uniform(0.1, 1.5 * self.start_s)
            else:
                patience = threading.Timer(PATIENCE_S, process.kill)
                patience.start()
                said = process.stdout.readline()
                patience.cancel()
                self.start_s = time.monotonic() - begin_s
                wait_s = self.choice.uniform(PROMISE_S + 1, PROMISE_S + 2.5)
            timer = threading.Timer(wait_s, process.kill)
            timer.start()
            said += process.stdout.read()
            killed_at_s = time.monotonic()
            errors = process.stderr.read()
            timer.cancel()
        assert errors == ""
        assert process.returncode < 0, "it ended by itself"
        self.check_start(said)
        edits = self.edits()
        if edits:
            self.killed_at_s.append((edits[-1][0], killed_at_s))

    def check_start(self, said: str) -> None:
        """What was recovered holds every edit but those of the last seconds before a kill."""
        if not said:
            return  # killed before it could look
        (line,) = said.splitlines()
        word, number = line.split()
        assert word == "recovered"
        recovered = int(number)
        assert recovered >= self.kept, "an older bench came back"
        self.kept = recovered
        lost = [
            (number, moment) for number, moment in self.edits_before_start() if number > recovered
        ]
        if self.killed_at_s and recovered >= 0:
            self.kills_with_work += 1
        for number, moment in lost:
            killed_at_s = next(at for last, at in self.killed_at_s if number <= last)
            self.lost_s.append(killed_at_s - moment)
            assert killed_at_s - moment <= PROMISE_S, f"edit {number} was lost"

    def edits_before_start(self) -> list[tuple[int, float]]:
        last = self.killed_at_s[-1][0] if self.killed_at_s else -1
        return [edit for edit in self.edits() if edit[0] <= last]

    def play(self) -> Seat:
        # The first one late: it shows how long a start takes here. Then often early.
        late = self.choice.sample(range(1, KILLS_PER_SEAT), LATE_KILLS - 1)
        for number in range(KILLS_PER_SEAT):
            self.live_and_die(is_early=number not in {0, *late})
        process = self.start("exit")
        said, errors = process.communicate(timeout=60)
        assert (process.returncode, errors) == (0, "")
        self.check_start(said)
        # A kill in the middle of a write leaves its part; an hour later the next start removes it.
        left = [path.name for path in self.recovery.iterdir() if path.suffix != ".part"]
        assert left == [], "a clean exit leaves nothing behind"
        return self


@pytest.mark.slow
@pytest.mark.skipif(sys.platform == "win32", reason="SIGKILL")
def test_fifty_kills_lose_no_more_than_promised(tmp_path):
    seats = []
    for number in range(SEATS):
        folder = tmp_path / str(number)
        folder.mkdir()
        seats.append(Seat(folder, number))
    with ThreadPoolExecutor(SEATS) as pool:
        done = list(pool.map(Seat.play, seats))
    assert SEATS * KILLS_PER_SEAT >= 50
    # The test is worth something only if there was work to lose and work that was kept.
    assert sum(seat.kills_with_work for seat in done) >= 15
    assert all(seat.kept > 50 for seat in done)
    lost_s = max(max(seat.lost_s, default=0.0) for seat in done)
    # Shown with -s: how much of the promise is used.
    print(f"longest loss {lost_s:.1f} s in {SEATS * KILLS_PER_SEAT} kills")  # noqa: T201
