"""The command itself: versions, streams, quiet ends, and what it must not load."""

from __future__ import annotations

import os
import re
import signal
import subprocess
import sys
from importlib import metadata

import pytest

from fairlead.app.files.gathering import distinct
from fairlead.app.version import VERSION
from fairlead.core.reading import Reading

PROBE = """
import sys
from fairlead.app.__main__ import main
try:
    status = main(sys.argv[1:])
finally:
    loaded = {name.split(".")[0] for name in sys.modules} | set(sys.modules)
    print("LOADED", *sorted(loaded & set(WATCHED)), file=sys.stderr)
"""
# Rooms of many modules that only some sweeps need: each of them costs a part of the cold start.
RARELY_NEEDED = (
    "fairlead.core.bench_file.decode", "fairlead.core.comparison.changes",
    "fairlead.core.reading.tables", "fairlead.core.transform.registry",
)  # fmt: skip
WATCHED = (
    "PySide6", "PySide6.QtGui", "PySide6.QtWidgets", "PySide6.QtSvg", "pyqtgraph", "scipy",
    "skrf", "matplotlib", "pandas", "fairlead.app.shell.window",
    "fairlead.core.comparison.repeats.answer",
    *RARELY_NEEDED,
)  # fmt: skip


@pytest.fixture
def fairlead(fairlead_process):
    """Each test here is about the process."""
    return fairlead_process


def loaded(fairlead, *arguments):
    done = fairlead(*arguments, code=PROBE.replace("WATCHED", repr(WATCHED)))
    assert done.status == 0, done.errors
    return set(done.errors[-1].split()[1:])


def test_the_version_is_that_of_the_package(fairlead):
    assert metadata.version("fairlead") == VERSION
    done = fairlead("--version")
    assert (done.status, done.out.splitlines()[0], done.errors) == (0, f"fairlead {VERSION}", [])


def test_help_names_the_verbs_and_each_verb_has_its_own(fairlead):
    done = fairlead("--help")
    assert done.status == 0
    for verb in ("figures", "picture", "check"):
        assert f"fairlead {verb} FILE..." in done.out
    own = fairlead("picture", "--help")
    assert own.status == 0
    for option in (
        "--band", "--region", "--reference", "--limit", "--z0", "-o", "--width-mm", "--height-mm",
        "--dpi", "--grey", "--title", "--caption",
    ):  # fmt: skip
        assert option in own.out


@pytest.mark.parametrize("verb", ["figures", "check"])
def test_figures_and_check_load_no_qt_and_nothing_slow(fairlead, write, verb):
    assert loaded(fairlead, verb, write("a.s1p")) - set(RARELY_NEEDED) == set()


def test_picture_loads_qt_gui_and_no_more(fairlead, write):
    found = loaded(fairlead, "picture", write("a.s1p"), "-o", "out.png")
    assert found == {"PySide6", "PySide6.QtGui"}


@pytest.mark.parametrize("verb", ["advise", "export"])
def test_a_verb_needs_nothing_that_others_load(fairlead, write, verb):
    """Those of figures, picture and check are above; the rest of the tests run in one process."""
    where = ("-o", "out.s1p") if verb == "export" else ()
    done = fairlead(verb, write("a.s1p"), *where)
    assert (done.status, done.errors) == (0, [])


def test_only_the_first_argument_is_a_verb(fairlead, write):
    write("figures")
    done = fairlead("figures", "figures", "--as", "csv")
    assert done.status == 0
    assert done.out.splitlines()[1].startswith("figures,")
    # As a file it goes to the window, which finds no screen here.
    if sys.platform.startswith("linux"):
        assert fairlead("./figures").status == 1
        assert fairlead("a.s1p", "figures").status == 1


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="elsewhere there is a screen")
def test_a_window_without_a_screen_is_one_line_and_no_abort(fairlead, write):
    done = fairlead(write("a.s1p"))
    assert done.status == 1
    (line,) = done.errors
    assert "no screen" in line
    assert "figures, picture, report, check and export" in line


def test_an_unknown_option_is_wrong_usage(fairlead):
    done = fairlead("--nope")
    assert done.status == 2
    assert len(done.errors) == 1


def test_the_window_gets_the_files(fairlead):
    code = """
import sys, types
fake = types.ModuleType("fairlead.app.shell.window")
fake.run = lambda paths: print(paths) or 0
sys.modules["fairlead.app.shell.window"] = fake
from fairlead.app.__main__ import main
sys.exit(main())
"""
    done = fairlead("a.s1p", "b c.s1p", code=code, QT_QPA_PLATFORM="offscreen")
    assert (done.status, done.errors) == (0, [])
    assert done.out == "['a.s1p', 'b c.s1p']\n"
    assert fairlead(code=code, QT_QPA_PLATFORM="offscreen").out == "[]\n"


@pytest.mark.parametrize("arguments", [("a.s1p",), ("picture", "a.s1p", "-o", "out.png")])
def test_a_missing_system_library_is_one_line_with_the_packages(fairlead, write, arguments):
    write("a.s1p")
    code = """
import sys
class Missing:
    def find_spec(self, name, path=None, target=None):
        if name == "PySide6.QtGui":
            raise ImportError("libEGL.so.1: cannot open shared object file: No such file")
sys.meta_path.insert(0, Missing())
from fairlead.app.__main__ import main
sys.exit(main())
"""
    done = fairlead(*arguments, code=code, QT_QPA_PLATFORM="offscreen")
    assert done.status == 1
    (line,) = done.errors
    assert "libEGL.so.1" in line
    for package in ("libgl1", "libegl1", "libfontconfig1", "libxkbcommon0", "libxcb-cursor0"):
        assert package in line


def test_other_import_errors_are_not_explained_away(fairlead):
    code = """
import sys
sys.modules["fairlead.app.headless.check"] = None
from fairlead.app.__main__ import main
sys.exit(main())
"""
    assert "ModuleNotFoundError" in fairlead("check", "a", code=code).errors[-1]


def test_output_is_utf8_whatever_the_locale(fairlead, write):
    done = fairlead("figures", write("Ω.s1p"), LC_ALL="C", PYTHONCOERCECLOCALE="0", PYTHONUTF8="0")
    assert done.status == 0
    assert "Ω" in done.out
    assert "–" in done.out


def test_names_cannot_break_the_lines_or_the_terminal(fairlead, write, tmp_path):
    if sys.platform == "win32":
        pytest.skip("no such names there")
    write("a\x1b[31m\nb.s1p")
    (tmp_path / "gone\nfor ever").write_text("no sweep at all")
    done = fairlead("figures", "a\x1b[31m\nb.s1p", "gone\nfor ever")
    assert done.status == 1
    assert len(done.errors) == 1
    assert "\x1b" not in done.out
    checked = fairlead("check", "a\x1b[31m\nb.s1p")
    assert len(checked.out.splitlines()) == 4
    assert "\x1b" not in checked.out


def test_bytes_that_are_no_text_in_a_name_are_escaped(fairlead, write, tmp_path):
    if not sys.platform.startswith("linux"):
        pytest.skip("file names are text there")
    write("a.s1p")
    (tmp_path / "a.s1p").rename(tmp_path / os.fsdecode(b"\xff.s1p"))
    done = fairlead("figures", ".", "--as", "json")
    assert done.status == 0
    assert '"label": "\\udcff"' in done.out


def start(tmp_path, *arguments, code=None):
    environment = os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)}
    command = ["-c", code] if code else ["-m", "fairlead.app"]
    return subprocess.Popen(
        [sys.executable, *command, *arguments],
        cwd=tmp_path,
        env=environment,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )


def test_a_reader_that_has_seen_enough_is_no_fault(write, tmp_path):
    names = [write(f"{i}.s1p") for i in range(30)]
    with start(tmp_path, "figures", *names, "--as", "json") as process:
        process.stdout.close()
        errors = process.stderr.read()
        process.wait(30)
    assert errors == b""
    assert process.returncode == 0


@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
def test_ctrl_c_ends_quietly(tmp_path):
    code = """
import sys, time
import fairlead.app.headless.gathering as gathering
def slow(path, columns):
    print("reading", flush=True)
    time.sleep(30)
gathering.open_sweeps = slow
from fairlead.app.__main__ import main
sys.exit(main())
"""
    with start(tmp_path, "figures", "a.s1p", code=code) as process:
        assert process.stdout.readline() == b"reading\n"
        process.send_signal(signal.SIGINT)
        errors = process.stderr.read()
        process.wait(30)
    assert errors == b""
    assert process.returncode == 130


def labels(*files):
    readings = [Reading(None, re.sub(r".*/|\.s1p", "", file), file) for file in files]
    return distinct(readings)


def test_labels_are_told_apart_only_where_needed():
    assert labels("a.s1p", "b.s1p") == ["a", "b"]
    assert labels("x/a.s1p", "y/a.s1p", "b.s1p") == ["x/a", "y/a", "b"]
    assert labels("a.s1p", "a.s1p", "a.s1p") == ["a", "a (2)", "a (3)"]
    assert labels("a.s1p", "x/a.s1p") == ["a", "x/a"]
    assert labels("1/x/a.s1p", "2/x/a.s1p") == ["a", "a (2)"]
    assert labels("a (2).s1p", "a.s1p", "a.s1p") == ["a (2)", "a", "a (3)"]


def test_qt_does_not_read_the_source_of_every_module(fairlead, tmp_path):
    """`fairlead.app.plain_imports`: PySide6 would, for a feature that we do not use."""
    probe = """
import linecache, sys
from fairlead.app.__main__ import main
status = main(sys.argv[1:])
assert "fairlead.app.printing.paint" in sys.modules
print(sum("fairlead" in name for name in linecache.cache))
sys.exit(status)
"""
    sweep = tmp_path / "a.s1p"
    sweep.write_text("# MHz S RI R 50\n50 0.2 0\n51 0.1 0\n52 0.2 0\n", "ascii")
    done = fairlead("picture", str(sweep), "-o", str(tmp_path / "a.png"), code=probe)
    assert (done.status, done.out.split()[-1]) == (0, "0"), done.errors
