"""Files that are read: what is no ordinary file, or too large, is refused before anything is read or waited for."""

import hashlib
import os
import socket
import tracemalloc

import pytest

from canivet import sources
from canivet.errors import Unreadable
from canivet.sources import open_source, read_source, read_text

WORDS = {"kind": "a list", "wanted": "a list as CSV"}


def test_an_ordinary_file_is_read_up_to_the_limit_and_not_past_it(tmp_path):
    path = tmp_path / "names.csv"
    path.write_bytes(b"x" * 1000)
    assert read_source(path, most=1000, **WORDS) == b"x" * 1000
    with pytest.raises(Unreadable, match="larger than 999 bytes, the most that is read as a list") as caught:
        read_source(path, most=999, **WORDS)
    assert caught.value.value == 1000


def test_nothing_is_read_of_a_file_that_is_too_large(tmp_path, monkeypatch):
    path = tmp_path / "names.csv"
    with path.open("wb") as file:
        file.truncate(10**12)  # a terabyte that takes no room
    monkeypatch.setattr(sources.Source, "_bytes", lambda *_: pytest.fail("it was read"))
    with pytest.raises(Unreadable, match=r"larger than 20 MB.*it has 1000000\.0 MB"):
        read_source(path, most=20_000_000, **WORDS)


def test_a_file_whose_size_is_not_known_beforehand_is_not_read_without_end():
    # The kernel's own files say that they are empty, and are not.
    with pytest.raises(Unreadable, match="larger than 5 bytes"):
        read_source("/proc/self/status", most=5, **WORDS)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
def test_a_digest_is_that_of_all_bytes_and_holds_few_of_them(tmp_path):
    file = tmp_path / "bound.pdf"
    file.write_bytes(b"page " * 4_000_000)
    tracemalloc.start()
    with open_source(file, wanted="a document") as source:
        digest = source.digest()
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert digest == hashlib.sha256(file.read_bytes()).hexdigest()
    assert most < 2_000_000


def test_pipes_sockets_devices_and_folders_are_refused_and_not_waited_for(tmp_path):
    os.mkfifo(tmp_path / "pipe.csv")
    (tmp_path / "link.csv").symlink_to("/dev/zero")
    with socket.socket(socket.AF_UNIX) as listener:
        listener.bind(str(tmp_path / "s.csv"))
        for name, what in {
            "pipe.csv": "a pipe",
            "link.csv": "a device",
            "s.csv": "a socket",
            ".": "a folder",
        }.items():
            with pytest.raises(Unreadable, match=f"is {what}, not an ordinary file. Give a list as CSV"):
                read_source(tmp_path / name, most=10, **WORDS)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes here")
def test_a_pipe_that_takes_the_place_of_a_file_is_not_waited_for_either(tmp_path, monkeypatch):
    os.mkfifo(tmp_path / "pipe.csv")
    looks = iter([None])  # the first look finds a file
    real = sources._require_ordinary
    monkeypatch.setattr(
        sources, "_require_ordinary", lambda *a: next(looks, None) if not _spent(looks) else real(*a)
    )
    with pytest.raises(Unreadable, match="is a pipe"):
        read_source(tmp_path / "pipe.csv", most=10, **WORDS)


def _spent(looks):
    return looks.__length_hint__() == 0


def test_a_missing_file_gets_the_near_one_beside_it(tmp_path):
    (tmp_path / "fox.svg").touch()
    with pytest.raises(Unreadable, match=r"fxo\.svg is not there\. Did you mean 'fox\.svg'\?"):
        read_source(tmp_path / "fxo.svg", most=10, **WORDS)
    with pytest.raises(Unreadable, match=r"is not there\. Give the path of a list as CSV"):
        read_source(tmp_path / "nowhere" / "fox.svg", most=10, **WORDS)


@pytest.mark.parametrize("name", ["null\0byte.svg", "\ud800.svg", "n" * 5000])
def test_a_name_that_no_file_can_have_is_refused_in_one_short_line(tmp_path, name):
    with pytest.raises(Unreadable) as caught:
        read_source(tmp_path / name, most=10, **WORDS)
    assert len(caught.value.message) < 250
    assert caught.value.message.isprintable()


def test_a_file_that_may_not_be_read_is_named(tmp_path, monkeypatch):
    def forbid(*_args: object) -> None:
        raise PermissionError("no")

    (tmp_path / "closed.svg").write_bytes(b"x")
    monkeypatch.setattr(os, "open", forbid)  # the one who runs the tests may be allowed to read everything
    with pytest.raises(Unreadable, match=r"closed.svg may not be read. Change its permissions"):
        read_source(tmp_path / "closed.svg", most=10, **WORDS)


def test_looking_at_the_beginning_takes_nothing_from_what_is_read(tmp_path):
    path = tmp_path / "a.svg"
    path.write_bytes(b"<svg/>")
    with open_source(path, wanted="a drawing") as source:
        assert source.head(2) == b"<s"
        assert source.read(10, kind="SVG", advice="") == b"<svg/>"


@pytest.mark.parametrize("code", ["utf-16", "utf-16-le", "utf-16-be"])
@pytest.mark.parametrize("text", ["name,year\nAna,1", "título\nZoë"])
def test_utf16_is_named_as_such_with_a_mark_or_without(tmp_path, code, text):
    path = tmp_path / "names.csv"
    path.write_bytes(text.encode(code))
    with pytest.raises(Unreadable, match=r"names.csv is UTF-16"):
        read_text(path, most=100, **WORDS)


def test_a_mark_before_utf8_is_no_letter(tmp_path):
    path = tmp_path / "names.csv"
    path.write_bytes("\ufeffZoë".encode())
    assert read_text(path, most=100, **WORDS) == "Zoë"
