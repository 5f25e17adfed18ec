"""Menu entry, file type, manual and completion: written into the user's folders, and removed."""

from __future__ import annotations

import shutil
import subprocess
import sys
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from fairlead.app.__main__ import VERBS, _window_parser
from fairlead.app.headless import desktop, manual
from fairlead.app.headless.desktop import NAMES

pytestmark = pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="no such folders")


@pytest.fixture
def home(tmp_path, monkeypatch):
    """The user's data; programs that refresh its folders are left alone."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    monkeypatch.setattr(desktop.shutil, "which", lambda _: None)
    return tmp_path / "data"


def files_in(folder):
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*") if path.is_file())


def test_everything_is_written_and_removed_again(fairlead, home):
    done = fairlead("--install-desktop")
    assert (done.status, done.errors) == (0, [])
    assert files_in(home) == sorted(NAMES)
    assert done.out.splitlines() == [str(home / name) for name in NAMES]
    others = home / "applications" / "other.desktop"
    others.write_text("[Desktop Entry]\n")
    done = fairlead("--uninstall-desktop")
    assert done.status == 0
    assert files_in(home) == ["applications/other.desktop"]
    assert fairlead("--uninstall-desktop").out == ""


def test_the_entry_starts_this_installation_with_the_files(fairlead, home):
    fairlead("--install-desktop")
    entry = (home / "applications/fairlead.desktop").read_text("utf-8")
    told = dict(line.split("=", 1) for line in entry.splitlines() if "=" in line)
    assert told["Exec"].endswith(" %F")
    assert str(Path(sys.executable).parent) in told["Exec"]
    assert told["MimeType"] == "application/x-fairlead;"
    root = ET.parse(home / "mime/packages/fairlead.xml").getroot()  # noqa: S314 - our own
    space = "{http://www.freedesktop.org/standards/shared-mime-info}"
    (kind,) = root.findall(f"{space}mime-type")
    assert kind.get("type") == "application/x-fairlead"
    assert kind.find(f"{space}glob").get("pattern") == "*.fairlead"
    assert ET.parse(home / NAMES[2]).getroot().tag.endswith("svg")  # noqa: S314 - our own


@pytest.mark.parametrize(
    ("word", "quoted"),
    [
        ("/opt/fair lead/bin", '"/opt/fair lead/bin"'),
        ("/a%b", '"/a%%b"'),
        # The specification's two levels: of the string, and of the argument.
        ('/a"b', '"/a\\\\"b"'),
        ("/a\\b", '"/a\\\\\\\\b"'),
    ],
)
def test_the_command_is_quoted_as_the_specification_wants(word, quoted):
    assert desktop._quoted(word) == quoted


def test_a_relative_folder_does_not_count(monkeypatch):
    monkeypatch.setenv("XDG_DATA_HOME", "here")
    assert desktop._home() == Path.home() / ".local" / "share"


def test_what_cannot_be_written_or_removed_is_one_line(fairlead, home, monkeypatch):
    home.parent.joinpath("data").write_text("a file")
    done = fairlead("--install-desktop")
    assert done.status == 1
    assert len(done.errors) == 1
    home.unlink()
    fairlead("--install-desktop")

    def fail(*_args, **_kwargs):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "unlink", fail)
    done = fairlead("--uninstall-desktop")
    assert done.status == 1
    assert len(done.errors) == len(NAMES)


@pytest.mark.usefixtures("home")
def test_elsewhere_it_says_so(fairlead, monkeypatch):
    monkeypatch.setattr(desktop.sys, "platform", "win32")
    for option in ("--install-desktop", "--uninstall-desktop"):
        done = fairlead(option)
        assert done.status == 1
        assert "make a shortcut" in done.errors[0]


def test_the_folders_are_read_again(fairlead, home, monkeypatch):
    calls = []
    monkeypatch.setattr(desktop.shutil, "which", lambda name: f"/bin/{name}")
    monkeypatch.setattr(desktop.subprocess, "run", lambda words, **_: calls.append(words))
    fairlead("--install-desktop")
    assert ["/bin/update-mime-database", str(home / "mime")] in calls


# --- manual and completion ---------------------------------------------------------------------


def parsers():
    return _window_parser(), manual.verb_parsers(VERBS)


def test_the_manual_has_every_verb_and_option(fairlead):
    page = fairlead("--man-page").out
    main, verbs = parsers()
    for parser in (main, *verbs):
        assert f".B {parser.prog}" in page
        for one in parser.told():
            for name in one.names:
                assert f"\\fB{name.replace('-', chr(92) + '-')}\\fR" in page
    assert ".SH SAFETY" in page


def test_groff_has_no_complaint_about_the_manual():
    if shutil.which("groff") is None:
        pytest.skip("no groff here")
    page = manual.man_page(*parsers())
    done = subprocess.run(
        ["groff", "-man", "-Tutf8", "-ww", "-z"],
        input=page.encode(),
        capture_output=True,
        check=True,
    )
    assert done.stderr == b""


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (("fairlead", "fi"), {"figures"}),
        (("fairlead", "figures", "--as", "j"), {"json"}),
        (("fairlead", "picture", "--gr"), {"--grey", "--group"}),
        (("fairlead", "figures", "a.s1"), set()),
    ],
)
def test_bash_completes_verbs_options_and_choices(fairlead, words, expected):
    if shutil.which("bash") is None:
        pytest.skip("no bash here")
    script = fairlead("--completion", "bash").out
    script += f"COMP_WORDS=({' '.join(words)}); COMP_CWORD={len(words) - 1}; _fairlead\n"
    script += 'printf "%s\\n" "${COMPREPLY[@]}"\n'
    done = subprocess.run(["bash", "-c", script], capture_output=True, check=True)
    assert set(done.stdout.decode().split()) == expected


@pytest.mark.parametrize("shell", ["zsh", "fish"])
def test_other_shells_have_every_verb(fairlead, shell):
    script = fairlead("--completion", shell).out
    assert all(verb in script for verb in VERBS)
    program = shutil.which(shell)
    if program is not None:
        subprocess.run([program, "-n", "-c", script], check=True)
