"""What people type: standard input, patterns, a wrong verb, quiet, a narrow terminal."""

from __future__ import annotations

import io
import json
import sys
from types import SimpleNamespace

import pytest

from fairlead.app.headless import output
from fairlead.core.reading import expand_paths


class Terminal(io.StringIO):
    def isatty(self):
        return True


def feed(monkeypatch, data, *, is_keyboard=False):
    fake = SimpleNamespace(buffer=io.BytesIO(data), isatty=lambda: is_keyboard)
    monkeypatch.setattr(sys, "stdin", fake)


def test_a_hyphen_is_the_standard_input(fairlead, write, tmp_path, monkeypatch):
    feed(monkeypatch, (tmp_path / write("a.s1p")).read_bytes())
    done = fairlead("figures", "-", "--as", "json")
    assert (done.status, done.errors) == (0, [])
    (found,) = json.loads(done.out)["sweeps"]
    assert (found["label"], found["points"]) == ("standard input", 241)


def test_a_keyboard_is_no_sweep(fairlead, monkeypatch):
    feed(monkeypatch, b"", is_keyboard=True)
    done = fairlead("figures", "-")
    assert done.status == 1
    assert "pipe a file into it" in done.errors[0]


def test_more_than_can_be_a_sweep_is_refused(fairlead, monkeypatch):
    monkeypatch.setattr("fairlead.app.headless.gathering.LARGEST_BYTES", 10)
    feed(monkeypatch, b"# Hz S RI R 50\n")
    assert "name the file instead" in fairlead("check", "-").errors[0]


def test_a_pattern_that_no_shell_expanded_stands_for_its_files(fairlead, write):
    for name in ("unit 10.s1p", "unit 2.s1p", "other.s1p"):
        write(name)
    done = fairlead("figures", "unit*.s1p", "--as", "csv")
    labels = [line.split(",")[0] for line in done.out.splitlines()[1:]]
    assert labels == ["unit 2", "unit 10"]


def test_a_name_like_a_pattern_is_that_file(tmp_path):
    (tmp_path / "a[1].s1p").touch()
    (tmp_path / "a1.s1p").touch()
    assert expand_paths([tmp_path / "a[1].s1p"])[0] == [tmp_path / "a[1].s1p"]
    assert expand_paths([tmp_path / "b*.s1p"])[0] == [tmp_path / "b*.s1p"]


@pytest.mark.parametrize(
    ("word", "advice"),
    [("figure", 'did you mean "fairlead figures"?'), ("plotting", "commands are figures, picture")],
)
def test_a_word_that_is_neither_file_nor_verb_is_wrong_usage(fairlead, word, advice):
    done = fairlead(word, "a.s1p")
    assert done.status == 2
    (line,) = done.errors
    assert advice in line


def test_quiet_leaves_the_result_alone(fairlead, write, tmp_path):
    write("a.s1p")
    write("b.s1p")
    loud, quiet = fairlead("figures", "a.s1p", "b.s1p"), fairlead("figures", "-q", "a.s1p", "b.s1p")
    assert "same" in loud.out
    assert loud.out.startswith(quiet.out)
    assert len(quiet.out) < len(loud.out)
    out = str(tmp_path / "c.s1p")
    assert fairlead("export", "a.s1p", "-o", out, "--quiet").out == ""


def test_a_band_that_no_sweep_reaches_is_said(fairlead, write):
    done = fairlead("figures", write("a.s1p"), "--band", "144:146MHz")
    assert done.status == 0
    assert done.errors == [
        "no sweep reaches into the band, 144 to 146 MHz; they lie between 46 and 58 MHz"
    ]
    assert fairlead("figures", "a.s1p", "--band", "57:60MHz").errors == []


def test_the_versions_of_the_libraries_are_told(fairlead):
    done = fairlead("--version")
    names = [line.split()[0] for line in done.out.splitlines()]
    assert names == ["fairlead", "Python", "PySide6-Essentials", "pyqtgraph", "numpy"]


def test_a_table_fits_the_terminal(fairlead, write, monkeypatch):
    names = [write(f"a sweep with a long name {i}.s1p", f0_hz=50e6 + i * 1e5) for i in range(5)]
    wide = fairlead("figures", "-q", *names).out
    monkeypatch.setattr("fairlead.app.headless.figures.terminal_width", lambda: 80)
    narrow = fairlead("figures", "-q", *names).out
    table = narrow.split("\n\n±")[0]
    block_lines = [line for line in table.splitlines() if line.startswith("Best match")]
    assert len(block_lines) == 5
    assert max(map(len, block_lines)) <= 80 < max(map(len, wide.splitlines()))


def test_progress_is_told_on_a_terminal_after_a_second(monkeypatch):
    now = iter([0.0, 0.5, 1.5, 1.55, 1.7])
    monkeypatch.setattr(output.time, "monotonic", lambda: next(now))
    monkeypatch.setattr(sys, "stderr", Terminal())
    with output.progress() as tell:
        for done in range(4):
            tell(done, 9, f"Reading {done}.s1p")
    text = sys.stderr.getvalue()
    assert [f"{n} of 9" in text for n in range(4)] == [False, True, False, True]
    assert text.endswith("\r\x1b[K")


@pytest.mark.parametrize("stream", [Terminal(), io.StringIO(), None])
def test_nothing_is_told_to_a_file_or_when_quiet(monkeypatch, stream):
    monkeypatch.setattr(sys, "stderr", stream)
    monkeypatch.setattr(output, "_SILENT_S", -1)
    monkeypatch.setattr(output, "_EVERY_S", -1)
    with output.progress(is_quiet=isinstance(stream, Terminal)) as tell:
        tell(1, 2, "x")
    assert stream is None or stream.getvalue() == ""
    monkeypatch.setattr(sys, "stdout", stream)
    assert (output.terminal_width() is None) == (not isinstance(stream, Terminal))
