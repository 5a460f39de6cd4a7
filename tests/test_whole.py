"""Files that are written whole or not at all."""

import os
import resource
import signal
import stat
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from jumpcalc.errors import FileError
from jumpcalc.show.files.whole import check_free, shown_name, write_whole

NEW, OLD = b"new" * 1000, b"old"


@pytest.fixture(params=["a new file", "over a file"])
def place(request, tmp_path):
    """Folder, file name, force, and what the file holds before."""
    path, before = tmp_path / "card.pdf", None
    if request.param == "over a file":
        path.write_bytes(OLD)
        before = OLD
    return path, {"force": before is not None}, before


def untouched(path, before):
    """Nothing has come or gone or changed."""
    assert os.listdir(path.parent) == ([] if before is None else [path.name])
    assert before is None or path.read_bytes() == before


def test_it_is_written(place):
    path, force, _ = place
    write_whole(path, NEW, **force)
    assert path.read_bytes() == NEW and os.listdir(path.parent) == [path.name]


def test_what_is_there_stays_without_force(tmp_path):
    path = tmp_path / "card.pdf"
    path.write_bytes(OLD)
    for attempt in (check_free, lambda path: write_whole(path, NEW)):
        with pytest.raises(FileError, match="is there already; --force writes over it"):
            attempt(path)
    untouched(path, OLD)


@pytest.mark.parametrize("links", [True, False])
def test_a_file_that_comes_meanwhile_stays_too(tmp_path, monkeypatch, links):
    path = tmp_path / "card.pdf"
    monkeypatch.setattr(os, "fsync", lambda _: path.write_bytes(OLD))
    if not links:
        monkeypatch.setattr(os, "link", no_links)
    with pytest.raises(FileError, match="is there already"):
        write_whole(path, NEW)
    untouched(path, OLD)


def no_links(*_):
    """As on a memory card."""
    raise PermissionError(1, "Operation not permitted")


def test_a_disk_without_links_will_do(tmp_path, monkeypatch):
    monkeypatch.setattr(os, "link", no_links)
    write_whole(tmp_path / "card.pdf", NEW)
    assert (tmp_path / "card.pdf").read_bytes() == NEW and os.listdir(tmp_path) == ["card.pdf"]

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    with pytest.raises(FileError, match="No space left"):
        write_whole(tmp_path / "other.pdf", NEW)
    assert os.listdir(tmp_path) == ["card.pdf"]


def test_a_full_disk_leaves_nothing(place):
    """A limit on the size of files stands for the disk: the write itself fails, half-way."""
    path, force, before = place
    limits = resource.getrlimit(resource.RLIMIT_FSIZE)
    handler = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (1000, limits[1]))
    try:
        with pytest.raises(FileError, match="cannot be written: File too large"):
            write_whole(path, NEW, **force)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, limits)
        signal.signal(signal.SIGXFSZ, handler)
    untouched(path, before)


@pytest.mark.parametrize("step", ["fsync", "link", "replace"])
@pytest.mark.parametrize("error", [KeyboardInterrupt(), OSError(5, "Input/output error")], ids=["Ctrl-C", "failure"])
def test_nothing_is_left_whatever_stops_it(tmp_path, monkeypatch, step, error):
    path, before = tmp_path / "card.pdf", OLD if step == "replace" else None
    if before:
        path.write_bytes(before)

    def stop(*_):
        raise error

    monkeypatch.setattr(os, step, stop)
    if step == "link":
        monkeypatch.setattr(os, "replace", stop)
    with pytest.raises((KeyboardInterrupt, FileError)):
        write_whole(path, NEW, force=before is not None)
    untouched(path, before)


def test_a_killed_process_leaves_no_half_file(place):
    path, force, before = place
    code = (
        "import os, signal, sys; from jumpcalc.show.files.whole import write_whole; "
        "os.fsync = lambda _: os.kill(os.getpid(), signal.SIGKILL); "
        f"write_whole({str(path)!r}, b'new', force={force['force']})"
    )
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[1])}
    done = subprocess.run([sys.executable, "-c", code], env=environment, timeout=60)
    assert done.returncode == -signal.SIGKILL
    assert path.exists() == (before is not None) and (before is None or path.read_bytes() == before)


@pytest.mark.parametrize("force", [False, True])
def test_what_is_no_file_is_never_written(tmp_path, force):
    os.mkfifo(tmp_path / "pipe")
    for name, why in ((tmp_path, "a folder"), (tmp_path / "pipe", "not an ordinary file"), ("/dev/full", "not an ordinary")):
        with pytest.raises(FileError, match=why):
            write_whole(name, NEW, force=force)
    for name, why in (("a\0b", "null"), (tmp_path / "no" / "card.pdf", "no such folder"), (tmp_path / ("x" * 300), "too long")):
        with pytest.raises(FileError, match=f"cannot be written: .*{why}") as caught:
            write_whole(name, NEW, force=force)
        assert str(caught.value).isprintable()


def test_a_folder_without_permission():
    user = os.geteuid()
    with tempfile.TemporaryDirectory() as folder:
        os.chmod(folder, 0o555)
        os.seteuid(65534 if user == 0 else user)  # an administrator may write anywhere: be somebody else
        try:
            with pytest.raises(FileError, match="cannot be written: Permission denied"):
                write_whole(Path(folder) / "card.pdf", NEW)
        finally:
            os.seteuid(user)
        assert not os.listdir(folder)


def test_a_link_is_followed_and_permissions_are_kept(tmp_path):
    path, link = tmp_path / "card.pdf", tmp_path / "link.pdf"
    link.symlink_to(path)
    write_whole(link, OLD)
    assert link.is_symlink() and path.read_bytes() == OLD
    mask = os.umask(0)
    os.umask(mask)
    assert stat.S_IMODE(path.stat().st_mode) == 0o666 & ~mask
    path.chmod(0o640)
    write_whole(link, NEW, force=True)
    assert link.is_symlink() and path.read_bytes() == NEW and stat.S_IMODE(path.stat().st_mode) == 0o640


@pytest.mark.parametrize(
    ("name", "shown"),
    [("my card.pdf", "my card.pdf"), ("", "''"), ("a\nb", r"'a\nb'"), ("\udcff.pdf", r"'\udcff.pdf'"), ("x" * 5000, "'" + "x" * 998 + "…")],
)  # fmt: skip
def test_names_are_shown_on_one_line(name, shown):
    assert shown_name(name) == shown
