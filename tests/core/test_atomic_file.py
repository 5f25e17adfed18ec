"""Saving is all or nothing: an error is injected into every system call, and into real drives."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
import tempfile
import threading
from contextlib import contextmanager
from functools import partial
from pathlib import Path

import pytest

from fairlead.core import atomic_file
from fairlead.core.errors import FairleadError
from fairlead.core.paths import WRITTEN, mark_of

write_atomic = partial(atomic_file.write_atomic, never_over=())
OLD, NEW = b"the old file\n", [b"the ", b"", b"new ", b"file\n"]
IS_ROOT = hasattr(os, "geteuid") and os.geteuid() == 0
posix_only = pytest.mark.skipif(os.name != "posix", reason="POSIX permissions")


@pytest.fixture
def path(tmp_path):
    path = tmp_path / "bench.fairlead"
    path.write_bytes(OLD)
    return path


def names_in(folder):
    return sorted(path.name for path in folder.iterdir())


def failure(path, parts=NEW):
    with pytest.raises(FairleadError) as caught:
        write_atomic(path, parts)
    assert str(caught.value).isprintable()
    assert caught.value.advice
    return caught.value.reason


def test_a_file_is_written_and_replaced(path):
    write_atomic(path, NEW)
    assert path.read_bytes() == b"the new file\n"
    write_atomic(path.with_name("another"), [])
    assert path.with_name("another").read_bytes() == b""
    assert names_in(path.parent) == ["another", "bench.fairlead"]


# What each call may fail with, in the order of the calls.
CALLS = [
    ("realpath", errno.ELOOP, "the links in the path form a loop"),
    ("stat", errno.EACCES, "no permission to write there"),
    ("stat", errno.EIO, "the drive does not respond"),
    ("open", errno.EACCES, "no permission to write there"),
    ("open", errno.EROFS, "the drive is read-only"),
    ("open", errno.ENOENT, "the folder no longer exists"),
    ("open", errno.ENOSPC, "the drive is full"),
    ("open", errno.EMFILE, "too many files are open at once"),
    ("write", errno.ENOSPC, "the drive is full"),
    ("write", errno.EDQUOT, "your disk quota is used up"),
    ("write", errno.EFBIG, "the file is too large for this drive"),
    ("write", errno.EIO, "the drive does not respond"),
    ("chmod", errno.EPERM, "no permission to write there"),
    ("fsync", errno.EIO, "the drive does not respond"),
    ("fstat", errno.EIO, "the drive does not respond"),
    ("fsync", errno.ENOSPC, "the drive is full"),
    ("close", errno.EDQUOT, "your disk quota is used up"),
    ("close", errno.EIO, "the drive does not respond"),
    ("replace", errno.ENAMETOOLONG, "the name is too long"),
    ("replace", errno.ENODEV, "the drive does not respond"),
    ("replace", errno.EBUSY, "another program is using it"),
    ("replace", errno.EXDEV, "Invalid cross-device link"),
]


class Faults:
    """Stands for the os module: one call fails at its n-th use."""

    path = os.path

    def __init__(self, name: str, code: int, at: int = 1) -> None:
        self._name, self._code, self._left = name, code, at
        self.calls: list[str] = []

    def __getattr__(self, name):
        real = getattr(os.path, name) if name == "realpath" else getattr(os, name)
        if not callable(real) or isinstance(real, type):
            return real

        def call(*args, **kwargs):
            self.calls.append(name)
            if name == self._name:
                self._left -= 1
                if self._left == 0:
                    raise OSError(self._code, os.strerror(self._code))
            return real(*args, **kwargs)

        return call


@pytest.fixture
def inject(monkeypatch):
    def put(name: str, code: int, at: int = 1) -> Faults:
        faults = Faults(name, code, at)
        if name == "realpath":
            monkeypatch.setattr("os.path.realpath", faults.realpath)
        monkeypatch.setattr(atomic_file, "os", faults)
        return faults

    return put


@pytest.mark.parametrize(("call", "code", "reason"), CALLS)
def test_whatever_fails_the_old_file_is_whole_and_nothing_lies_about(
    path, inject, monkeypatch, call, code, reason
):
    faults = inject(call, code)
    said = failure(path)
    monkeypatch.undo()
    assert said == f"{path} could not be saved: {reason}"
    assert call in faults.calls
    assert path.read_bytes() == OLD
    assert names_in(path.parent) == [path.name]
    # The next attempt, at the same place or another, works.
    write_atomic(path.with_name("elsewhere"), NEW)
    write_atomic(path, NEW)
    assert path.read_bytes() == path.with_name("elsewhere").read_bytes()


@pytest.mark.parametrize("at", [1, 2, 3])
def test_a_disk_that_fills_up_halfway_leaves_the_old_file(path, inject, monkeypatch, at):
    inject("write", errno.ENOSPC, at)
    failure(path)
    monkeypatch.undo()
    assert path.read_bytes() == OLD
    assert names_in(path.parent) == [path.name]


def test_every_call_that_can_lose_something_was_made_to_fail(path, monkeypatch):
    faults = Faults("none", 0)
    monkeypatch.setattr(atomic_file, "os", faults)
    write_atomic(path, NEW)
    monkeypatch.undo()
    harmless = {"fsdecode", "access", "chown", "close", "open", "fsync", "urandom"}
    assert set(faults.calls) - harmless <= {call for call, _, _ in CALLS}
    # Flushed before it is renamed, and the folder after.
    order = [call for call in faults.calls if call in ("fsync", "close", "replace")]
    assert order == ["fsync", "close", "replace", "fsync", "close"]


def test_a_folder_that_does_not_confirm_the_new_name_is_reported(path, inject, monkeypatch):
    inject("fsync", errno.EIO, at=2)
    assert failure(path).endswith("the drive does not respond")
    monkeypatch.undo()
    assert path.read_bytes() == b"the new file\n"
    assert names_in(path.parent) == [path.name]


@pytest.mark.parametrize(
    ("call", "code"), [("fsync", errno.EINVAL), ("open", errno.EACCES), ("fsync", errno.ENOTSUP)]
)
def test_a_file_system_that_cannot_flush_folders_is_no_failure(path, inject, call, code):
    inject(call, code, at=2)
    write_atomic(path, NEW)
    assert path.read_bytes() == b"the new file\n"


def test_an_owner_that_cannot_be_kept_is_no_failure(path, inject):
    inject("chown", errno.EPERM)
    write_atomic(path, NEW)
    assert path.read_bytes() == b"the new file\n"


def test_an_error_of_the_content_is_passed_on_and_leaves_the_old_file(path):
    def parts():
        yield b"half"
        raise FairleadError("the bench is too large")

    with pytest.raises(FairleadError, match="the bench is too large"):
        write_atomic(path, parts())
    assert path.read_bytes() == OLD
    assert names_in(path.parent) == [path.name]


def test_short_writes_are_continued(path, monkeypatch):
    real = os.write
    monkeypatch.setattr(os, "write", lambda descriptor, part: real(descriptor, bytes(part)[:3]))
    write_atomic(path, NEW)
    monkeypatch.undo()
    assert path.read_bytes() == b"the new file\n"


@posix_only
@pytest.mark.parametrize("mode", [0o600, 0o644, 0o664, 0o640])
def test_permissions_of_the_old_file_are_kept(path, mode):
    path.chmod(mode)
    write_atomic(path, NEW)
    assert stat.S_IMODE(path.stat().st_mode) == mode


@posix_only
def test_a_new_file_gets_the_usual_permissions(tmp_path):
    plain, ours = tmp_path / "plain", tmp_path / "ours"
    plain.write_bytes(b"")
    write_atomic(ours, NEW)
    assert ours.stat().st_mode == plain.stat().st_mode


@posix_only
def test_nobody_else_can_read_a_private_file_while_it_is_written(path):
    path.chmod(0o600)
    modes = []

    def parts():
        yield b"secret"
        (part,) = [entry for entry in path.parent.iterdir() if entry != path]
        modes.append(stat.S_IMODE(part.stat().st_mode))

    write_atomic(path, parts())
    assert modes == [0o600]


@posix_only
@pytest.mark.skipif(not IS_ROOT, reason="only root can give files away")
def test_the_owner_is_kept(path):
    os.chown(path, 12345, 54321)
    write_atomic(path, NEW)
    assert (path.stat().st_uid, path.stat().st_gid) == (12345, 54321)


@posix_only
def test_a_link_stays_and_its_file_is_replaced(path, tmp_path):
    (tmp_path / "far").mkdir()
    link = tmp_path / "far" / "link.fairlead"
    link.symlink_to(Path("..") / path.name)
    write_atomic(link, NEW)
    assert link.is_symlink()
    assert path.read_bytes() == b"the new file\n"
    assert names_in(tmp_path / "far") == ["link.fairlead"]


@posix_only
def test_a_link_to_nothing_yet_makes_the_file(tmp_path):
    link = tmp_path / "link"
    link.symlink_to("target")
    write_atomic(link, NEW)
    assert (tmp_path / "target").read_bytes() == b"the new file\n"


@posix_only
def test_links_in_a_circle_are_refused(tmp_path):
    (tmp_path / "a").symlink_to("b")
    (tmp_path / "b").symlink_to("a")
    assert "form a loop" in failure(tmp_path / "a")


def test_names_that_cannot_be_are_refused(tmp_path, path):
    assert failure(tmp_path).endswith("there is a folder of this name")
    assert failure(tmp_path / "none" / "x").endswith("the folder no longer exists")
    assert failure(path / "x").endswith("part of the path is a file, not a folder")
    assert failure(tmp_path / ("x" * 256)).endswith("the name is too long")
    assert failure(f"{tmp_path}/a\0b").endswith("no file can have this name")
    assert failure(f"{tmp_path}/a\nb/c") == (
        f"{tmp_path}/a\ufffdb/c could not be saved: the folder no longer exists"
    )
    assert names_in(tmp_path) == [path.name]


@posix_only
def test_what_is_no_ordinary_file_stays(tmp_path):
    os.mkfifo(tmp_path / "pipe")
    assert failure(tmp_path / "pipe").endswith("this is not an ordinary file")
    assert failure("/dev/null").endswith("this is not an ordinary file")


def test_a_file_protected_on_purpose_stays(path, monkeypatch):
    monkeypatch.setattr(os, "access", lambda *_: False)
    assert failure(path).endswith("the file is read-only")
    monkeypatch.undo()
    assert path.read_bytes() == OLD


SAVE = """
import sys
sys.path.insert(0, sys.argv[2])
from fairlead.core.atomic_file import write_atomic
from fairlead.core.errors import FairleadError
exec(sys.argv[3])
try:
    write_atomic(sys.argv[1], [b"x" * 4096] * 64, never_over=())
except FairleadError as error:
    print(error)
"""


def save_in_a_process(path, before=""):
    """Save 256 KiB in a process of its own, which can first limit itself."""
    root = Path(__file__).parents[2]
    done = subprocess.run(
        [sys.executable, "-c", SAVE, str(path), str(root), before],
        check=True,
        capture_output=True,
        text=True,
    )
    assert done.stderr == ""
    return done.stdout.strip()


@contextmanager
def mounted(folder, *options):
    mount = ["mount", "-t", "tmpfs", *options, "tmpfs", str(folder)]
    if subprocess.run(mount, check=False, capture_output=True).returncode:
        pytest.skip("no right to mount a file system here")
    try:
        yield
    finally:
        subprocess.run(["umount", str(folder)], check=True)


@pytest.mark.skipif(sys.platform != "linux" or not IS_ROOT, reason="root on Linux mounts drives")
def test_a_real_drive_that_is_full(tmp_path):
    with mounted(tmp_path, "-o", "size=128k"):
        path = tmp_path / "bench.fairlead"
        path.write_bytes(OLD)
        assert save_in_a_process(path) == (
            f"{path} could not be saved: the drive is full; "
            "free some space, or save it somewhere else"
        )
        assert path.read_bytes() == OLD
        assert names_in(tmp_path) == [path.name]


@pytest.mark.skipif(sys.platform != "linux" or not IS_ROOT, reason="root on Linux mounts drives")
def test_a_real_drive_that_is_read_only(tmp_path):
    with mounted(tmp_path):
        path = tmp_path / "bench.fairlead"
        path.write_bytes(OLD)
        subprocess.run(["mount", "-o", "remount,ro", str(tmp_path)], check=True)
        # The old file cannot be written either, so that is what is said first.
        assert "could not be saved: the file is read-only" in save_in_a_process(path)
        assert "the drive is read-only" in save_in_a_process(tmp_path / "new")
        assert path.read_bytes() == OLD
        assert names_in(tmp_path) == [path.name]


@posix_only
def test_a_limit_on_the_size_of_files(path):
    said = save_in_a_process(
        path, "import resource; resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, 100_000))"
    )
    assert "the file is too large for this drive" in said
    assert path.read_bytes() == OLD
    assert names_in(path.parent) == [path.name]


# Rights do not bind root.
GIVE_UP_RIGHTS = """
import os
if os.geteuid() == 0:
    os.setgroups([])
    os.setresgid(65534, 65534, 65534)
    os.setresuid(65534, 65534, 65534)
"""


@posix_only
@pytest.mark.parametrize(
    ("folder_mode", "file_mode", "reason"),
    [(0o555, 0o666, "no permission to write there"), (0o777, 0o444, "the file is read-only")],
)
def test_a_user_without_the_right_to_write(folder_mode, file_mode, reason):
    # Not in pytest's own folder, which no other user may enter.
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "bench.fairlead"
        path.write_bytes(OLD)
        path.chmod(file_mode)
        path.parent.chmod(folder_mode)
        said = save_in_a_process(path, GIVE_UP_RIGHTS)
        path.parent.chmod(0o777)
        assert reason in said
        assert path.read_bytes() == OLD
        assert names_in(path.parent) == [path.name]


def test_two_programs_saving_at_once_leave_one_whole_file(path):
    contents = [bytes([65 + i]) * 50_000 for i in range(4)]

    def save(content):
        for _ in range(20):
            write_atomic(path, [content[:20_000], content[20_000:]])

    threads = [threading.Thread(target=save, args=(content,)) for content in contents]
    for thread in threads:
        thread.start()
    while any(thread.is_alive() for thread in threads):
        assert path.read_bytes() in [OLD, *contents]
    for thread in threads:
        thread.join()
    assert path.read_bytes() in contents
    assert names_in(path.parent) == [path.name]


def test_an_original_is_never_written_over_whatever_it_is_called(path, tmp_path):
    """By device and inode: links, linked folders, hard links and roundabout names are one file."""
    (tmp_path / "other").mkdir()
    roundabout = tmp_path / "other" / ".." / path.name
    names = [path, roundabout]
    if os.name == "posix":
        (tmp_path / "link").symlink_to(path)
        (tmp_path / "folder").symlink_to(tmp_path)
        os.link(path, tmp_path / "hard")
        names += [tmp_path / "link", tmp_path / "folder" / path.name, tmp_path / "hard"]
    for written in names:
        for original in names:
            with pytest.raises(FairleadError, match="originals are never written over"):
                atomic_file.write_atomic(written, NEW, never_over=["", "gone", str(original)])
    assert path.read_bytes() == OLD
    atomic_file.write_atomic(tmp_path / "new", NEW, never_over=[str(path), str(tmp_path / "new")])
    assert (tmp_path / "new").exists()


@posix_only
def test_what_is_private_can_be_read_by_nobody_else(path):
    path.chmod(0o644)
    atomic_file.write_atomic(path, NEW, never_over=(), is_private=True)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    new = path.with_name("new")
    atomic_file.write_atomic(new, NEW, never_over=(), is_private=True)
    assert stat.S_IMODE(new.stat().st_mode) == 0o600


def test_what_was_written_here_is_known_until_somebody_else_changes_it(path, tmp_path):
    assert not WRITTEN.holds(mark_of(path))
    write_atomic(path, NEW)
    assert WRITTEN.holds(mark_of(path))
    moved = path.rename(tmp_path / "moved")
    assert WRITTEN.holds(mark_of(moved))
    moved.write_bytes(b"something else")
    assert not WRITTEN.holds(mark_of(moved))
