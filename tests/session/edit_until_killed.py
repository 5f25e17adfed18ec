"""A program without a window that edits its bench until it is killed; see test_kills.py.

Arguments: recovery folder, log file, number of the first edit, seed, "exit" to end cleanly.
Edit number n leaves its number in the bench three times over; the log says when it was made.
"""

from __future__ import annotations

import os
import random
import sys
import time
from dataclasses import replace
from functools import partial

import numpy as np
from PySide6.QtCore import QCoreApplication, QTimer

from fairlead.app.document.document import Document
from fairlead.app.document.edits import Edits
from fairlead.app.document.undo_commands import ChangeBench
from fairlead.app.files.recovery import Recovery
from fairlead.core.bands import Band
from fairlead.core.reading.reading import Reading
from fairlead.core.sweep import Sweep


def say(*words: object) -> None:
    """One line, at once."""
    print(*words, flush=True)  # noqa: T201 - for the test


def number_in(bench) -> int:
    """The number of the last edit; an error if the bench is a mixture of two."""
    entry = bench.entry(1)
    number = int(entry.label.removeprefix("edit "))
    assert entry.circumstances.notes == f"note {number}"
    assert bench.band.low_hz == 40e6 + 100 * number
    assert [len(entry.sweep) for entry in bench.entries if entry.key <= 3] == [401] * 3
    return number


class Program:
    """Makes one edit after the other, sometimes with a pause."""

    def __init__(self, folder: str, log: str, first: int, seed: int) -> None:
        self.document = Document()
        self.edits = Edits(self.document)
        self.recovery = Recovery(self.document, folder)
        self._choice = random.Random(seed)  # noqa: S311 - no secret
        self._log = os.open(log, os.O_WRONLY | os.O_CREAT | os.O_APPEND)
        self._next = first
        self._timer = QTimer()
        self._timer.setSingleShot(True)
        self._timer.timeout.connect(self._edit)

    def recover(self, then) -> None:
        """Take the newest of what was left; a new bench if there is nothing."""
        self.recovery.failed.connect(lambda line: say("failed", line))

        def on_found(found) -> None:
            for about in found[1:]:
                self.recovery.discard(about.path)
            if found:
                failed = partial(say, "failed")
                self.recovery.take(found[0].path, partial(on_taken, found[0]), failed)
            else:
                frequency_hz = np.linspace(50e6, 52e6, 401)
                parts = np.random.default_rng(4).uniform(-0.7, 0.7, (3, 401, 2))
                sweeps = [Sweep(frequency_hz, part @ (1, 1j)) for part in parts]
                self.edits.add([Reading(one, f"sweep {i}", "") for i, one in enumerate(sweeps, 1)])
                then(-1)

        def on_taken(about, bench) -> None:
            self.recovery.took(about)
            self.document.apply(bench)
            then(number_in(bench))

        self.recovery.look(on_found)

    def run(self) -> None:
        self._timer.start(0)

    def _edit(self) -> None:
        made_at_s = time.monotonic()
        number, choice = self._next, self._choice
        self._next += 1
        edits = self.edits
        if choice.random() < 0.1 and len(self.document.bench.entries) < 12:
            edits.add([Reading(self.document.bench.entry(2).sweep, "one more", "")])
        added = [entry.key for entry in self.document.bench.entries if entry.key > 3]
        if added and choice.random() < 0.1:
            edits.remove(added)
            edits.undo()
        before = self.document.bench
        notes = replace(before.entry(1).circumstances, notes=f"note {number}")
        after = before.with_label(1, f"edit {number}").with_circumstances(1, notes)
        after = after.with_band(Band(40e6 + 100 * number, 60e6))
        # One step, as a gesture of the user is one: nobody sees the bench in between.
        self.document.undo_stack.push(ChangeBench(self.document, before, after, "Edit"))
        os.write(self._log, f"{number} {made_at_s}\n".encode())
        pause_ms = choice.choice([900, 1500]) if choice.random() < 0.015 else choice.randint(10, 70)
        self._timer.start(pause_ms)


def main() -> int:
    """Recover, say what was recovered, and go on."""
    folder, log, first, seed, *rest = sys.argv[1:]
    application = QCoreApplication([])
    program = Program(folder, log, int(first), int(seed))

    def on_recovered(number: int) -> None:
        say("recovered", number)
        if rest == ["exit"]:
            program.recovery.close()
            application.quit()
        else:
            program.run()

    program.recover(on_recovered)
    return application.exec()


if __name__ == "__main__":
    sys.exit(main())
