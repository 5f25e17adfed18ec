"""Settings for every test."""

from __future__ import annotations

import os
import signal
import sys
import weakref
from contextlib import suppress
from pathlib import Path

import pytest
from hypothesis import settings

# No window pops up while the tests run, and none needs a screen; QT_QPA_PLATFORM=xcb shows them.
os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

# Started in the background or by nohup, a shell has these ignored, and our own programs that tests
# start would inherit that.
for number in (signal.SIGINT, getattr(signal, "SIGHUP", signal.SIGINT)):
    with suppress(ValueError):  # not on the main thread
        if signal.getsignal(number) == signal.SIG_IGN:
            signal.signal(number, signal.SIG_DFL)

# No deadline: a busy machine is slow and not wrong. The same examples at every run, so that no
# unrelated change fails, so half of the usual hundred: more of the same would find nothing new.
# FAIRLEAD_EXPLORE=1 looks for new ones, twenty times as many.
settings.register_profile("steady", deadline=None, derandomize=True, max_examples=50)
settings.register_profile("explore", deadline=None, max_examples=1000)
settings.load_profile("explore" if "FAIRLEAD_EXPLORE" in os.environ else "steady")

# More would mostly wait for each other, and each takes half a gigabyte.
MOST_WORKERS = 4


@pytest.hookimpl(tryfirst=True)
def pytest_xdist_auto_num_workers(config):
    """All cores for folders; a file or a single test runs here: no start, output at once."""
    named = [Path(argument.partition("::")[0]) for argument in config.args]
    if named and all(path.is_file() for path in named):
        return 0
    if "PYTEST_XDIST_AUTO_NUM_WORKERS" in os.environ:
        return None
    cores = len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count()
    return min(cores or 1, MOST_WORKERS)


# Folders whose tests run no line that the tests of core/, headless/, app/ and gestures/ do not:
# measuring them too would make every line of theirs, and of every library, half as slow again.
UNMEASURED = {"icons", "published", "rendering", "samples", "session"}


def pytest_collection_modifyitems(config, items):
    """Tests of those folders are not measured; workers begin with the slow ones."""
    for item in items:
        if UNMEASURED & set(item.path.relative_to(Path(__file__).parent).parts):
            item.add_marker(pytest.mark.unmeasured)
    if hasattr(config, "workerinput"):
        # As the last ones they would keep one worker busy while the others have nothing to do.
        items.sort(key=lambda item: item.get_closest_marker("slow") is None)


@pytest.hookimpl(wrapper=True, tryfirst=True)
def pytest_runtest_protocol(item):
    """Measure no coverage in a test that is marked so, its fixtures included."""
    measured = None
    if "coverage" in sys.modules and item.get_closest_marker("unmeasured"):
        measured = sys.modules["coverage"].Coverage.current()
    if measured is None:
        return (yield)
    measured.stop()
    try:
        return (yield)
    finally:
        measured.start()


def pytest_sessionfinish():
    """Empty the clipboard: without a screen, Qt deletes what is in it after Python has ended."""
    if "PySide6.QtGui" in sys.modules:
        from PySide6.QtGui import QGuiApplication  # noqa: PLC0415

        if QGuiApplication.instance() is not None:
            QGuiApplication.clipboard().clear()


@pytest.fixture(autouse=True)
def _undo_histories_end(monkeypatch):
    """Clear the undo history of every document of a test, as the window does when it closes.

    Python may delete the undo commands before the stack that still points at them: a crash, often
    much later.
    """
    if "fairlead.app.document.document" not in sys.modules:
        # Headless tests need no Qt.
        yield
        return
    from shiboken6 import isValid  # noqa: PLC0415

    from fairlead.app.document.document import Document  # noqa: PLC0415

    made = []
    begin = Document.__init__

    def begin_and_note(document, *arguments, **named):
        begin(document, *arguments, **named)
        made.append(weakref.ref(document))

    monkeypatch.setattr(Document, "__init__", begin_and_note)
    yield
    for document in (known() for known in made):
        if document is not None and isValid(document) and isValid(document.undo_stack):
            document.undo_stack.clear()
