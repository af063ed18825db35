"""Files come whole or not at all, and every refusal says what to do."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from canivet.errors import CannotWrite
from canivet.export import require_folder, write_atomically

needs_rights = pytest.mark.skipif(
    hasattr(os, "geteuid") and os.geteuid() == 0, reason="the superuser may write anywhere"
)


def refuse(kind: BaseException) -> Callable[..., Any]:
    def raiser(*_args: object, **_kwargs: object) -> None:
        raise kind

    return raiser


def test_a_file_is_written_and_replaced(tmp_path: Path, folder_is_clean: Callable[[], bool]) -> None:
    path = tmp_path / "leaf.svg"
    for data in (b"one", b"two, longer", b""):
        write_atomically(path, data)
        assert path.read_bytes() == data
    assert folder_is_clean()


@pytest.mark.parametrize(
    ("code", "words"),
    [
        (errno.ENOSPC, "the disk is full. Free some space"),
        (errno.EROFS, "the disk is read-only. Write elsewhere"),
        (errno.EIO, "the disk reports an error"),
        (errno.EACCES, "may not be written to. Change its permissions"),
        (errno.EBUSY, os.strerror(errno.EBUSY)),
    ],
)
@pytest.mark.parametrize("step", ["os.fsync", "pathlib.Path.open", "pathlib.Path.replace"])
def test_a_failing_disk_leaves_the_old_file(
    tmp_path: Path,
    folder_is_clean: Callable[[], bool],
    monkeypatch: pytest.MonkeyPatch,
    code: int,
    words: str,
    step: str,
) -> None:
    path = tmp_path / "leaf.svg"
    path.write_bytes(b"old")
    with monkeypatch.context() as patched:
        patched.setattr(step, refuse(OSError(code, os.strerror(code))))
        with pytest.raises(CannotWrite, match=words) as caught:
            write_atomically(path, b"new")
    assert caught.value.value == str(path)
    assert path.read_bytes() == b"old"
    assert folder_is_clean()


@pytest.mark.parametrize("step", ["os.fsync", "pathlib.Path.replace"])
def test_an_interrupt_leaves_the_old_file_and_nothing_beside_it(
    tmp_path: Path, folder_is_clean: Callable[[], bool], monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    path = tmp_path / "leaf.svg"
    path.write_bytes(b"old")
    with monkeypatch.context() as patched:
        patched.setattr(step, refuse(KeyboardInterrupt()))
        with pytest.raises(KeyboardInterrupt):
            write_atomically(path, b"new")
    assert path.read_bytes() == b"old"
    assert folder_is_clean()


def test_an_interrupt_before_the_first_writing_leaves_no_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patched:
        patched.setattr("os.fsync", refuse(KeyboardInterrupt()))
        with pytest.raises(KeyboardInterrupt):
            write_atomically(tmp_path / "leaf.svg", b"new")
    assert list(tmp_path.iterdir()) == []


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    with pytest.raises(CannotWrite, match=r"its folder is not there\. Make the folder .*marsh first"):
        write_atomically(tmp_path / "marsh" / "leaf.svg", b"")
    assert list(tmp_path.iterdir()) == []


def test_a_file_for_a_folder_is_refused(tmp_path: Path) -> None:
    (tmp_path / "marsh").write_text("not a folder")
    with pytest.raises(CannotWrite, match="its folder is not a folder"):
        write_atomically(tmp_path / "marsh" / "leaf.svg", b"")


def test_a_folder_for_a_file_is_refused(tmp_path: Path) -> None:
    with pytest.raises(CannotWrite, match=r"it is a folder\. Give the path of a file in it"):
        write_atomically(tmp_path, b"")


@pytest.mark.parametrize("name", ["", "marsh/"])
def test_a_path_without_a_name_is_refused(name: str) -> None:
    with pytest.raises(CannotWrite, match="it names no file"):
        write_atomically(name, b"")


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes in the file system here")
def test_a_pipe_is_not_replaced(tmp_path: Path) -> None:
    pipe = tmp_path / "pipe.svg"
    os.mkfifo(pipe)
    with pytest.raises(CannotWrite, match="it is not an ordinary file"):
        write_atomically(pipe, b"")
    assert stat.S_ISFIFO(pipe.stat().st_mode)


def test_a_null_character_in_the_name_is_refused(tmp_path: Path) -> None:
    with pytest.raises(CannotWrite, match="its name holds a null character"):
        write_atomically(f"{tmp_path}/leaf\0.svg", b"")


def test_a_name_that_is_too_long_is_refused(tmp_path: Path) -> None:
    with pytest.raises(CannotWrite, match=r"its name is too long\. Use a shorter name"):
        write_atomically(tmp_path / ("n" * 300 + ".svg"), b"")


def test_the_longest_name_the_disk_takes_is_written(tmp_path: Path) -> None:
    longest = os.pathconf(tmp_path, "PC_NAME_MAX") if hasattr(os, "pathconf") else 200
    path = tmp_path / ("n" * (longest - 4) + ".svg")
    write_atomically(path, b"new")
    assert path.read_bytes() == b"new"


def test_a_link_is_followed_and_stays_a_link(tmp_path: Path) -> None:
    path, link = tmp_path / "leaf.svg", tmp_path / "link.svg"
    path.write_bytes(b"old")
    link.symlink_to(path)
    write_atomically(link, b"new")
    assert link.is_symlink()
    assert path.read_bytes() == b"new"


def test_a_file_keeps_its_permissions(tmp_path: Path) -> None:
    path = tmp_path / "leaf.svg"
    path.write_bytes(b"old")
    path.chmod(0o640)
    write_atomically(path, b"new")
    assert stat.S_IMODE(path.stat().st_mode) == 0o640


def test_a_new_file_has_the_permissions_files_have_here(tmp_path: Path) -> None:
    (tmp_path / "usual").write_bytes(b"")
    write_atomically(tmp_path / "leaf.svg", b"new")
    assert (tmp_path / "leaf.svg").stat().st_mode == (tmp_path / "usual").stat().st_mode


def test_a_closed_folder_and_a_protected_file_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    protected = tmp_path / "leaf.svg"
    protected.write_bytes(b"old")
    with monkeypatch.context() as patched:
        patched.setattr("os.access", lambda path, _mode: path != protected)
        with pytest.raises(CannotWrite, match="it is write-protected"):
            write_atomically(protected, b"new")
    monkeypatch.setattr("os.access", lambda *_args: False)
    with pytest.raises(CannotWrite, match=r"its folder may not be written to\. Change its permissions"):
        write_atomically(tmp_path / "other.svg", b"new")
    assert [path.name for path in tmp_path.iterdir()] == ["leaf.svg"]


@needs_rights
def test_a_folder_that_is_read_only_on_disk_is_refused(tmp_path: Path) -> None:
    closed = tmp_path / "closed"
    closed.mkdir(mode=0o500)
    with pytest.raises(CannotWrite, match="may not be written to"):
        write_atomically(closed / "leaf.svg", b"")


def test_a_name_that_hides_what_it_is_is_spelled_out(tmp_path: Path) -> None:
    with pytest.raises(CannotWrite) as caught:
        write_atomically(tmp_path / "no" / "leaf\x1b[2J.svg", b"")
    assert "\x1b" not in caught.value.message


def test_a_folder_is_asked_for_before_work_begins(tmp_path: Path) -> None:
    require_folder(tmp_path)
    (tmp_path / "file").write_text("")
    with pytest.raises(CannotWrite, match="it is not there"):
        require_folder(tmp_path / "marsh")
    with pytest.raises(CannotWrite, match="it is not a folder"):
        require_folder(tmp_path / "file")
    assert list(tmp_path.iterdir()) == [tmp_path / "file"]
