"""What was read is known again by what it is on the disk, whatever it is called."""

import os

import pytest

from canivet.errors import CannotWrite
from canivet.export.files import check_target, write_atomically
from canivet.kept import is_kept, keeping, require_not_kept


@pytest.fixture
def drawing(tmp_path):
    path = tmp_path / "heron.svg"
    path.write_text("the maker's own")
    return path


def other_ways_to(drawing):
    folder = drawing.parent
    (folder / "sub").mkdir()
    os.link(drawing, folder / "hard.svg")
    (folder / "soft.svg").symlink_to(drawing)
    (folder / "elsewhere").symlink_to(folder)
    return [
        folder / "hard.svg",
        folder / "soft.svg",
        folder / "elsewhere" / "heron.svg",
        folder / "sub" / ".." / "heron.svg",
    ]


def test_every_way_to_a_source_is_refused(drawing):
    ways = other_ways_to(drawing)
    with keeping([drawing]):
        for way in [drawing, *ways]:
            with pytest.raises(CannotWrite, match=r"never written over. Give another name or another folder"):
                write_atomically(way, b"lost")
    assert drawing.read_text() == "the maker's own"


def test_both_names_are_told(drawing, tmp_path):
    (tmp_path / "soft.svg").symlink_to(drawing)
    with keeping([drawing]), pytest.raises(CannotWrite) as caught:
        require_not_kept(tmp_path / "soft.svg")
    assert str(drawing) in caught.value.message
    assert str(tmp_path / "soft.svg") in caught.value.message


def test_keeping_ends_and_nests(drawing, tmp_path):
    other = tmp_path / "egret.svg"
    other.write_text("")
    with keeping([drawing]):
        with keeping([other]):
            assert is_kept(drawing)
            assert is_kept(other)
        assert not is_kept(other)
    check_target(drawing)


def test_what_is_not_there_is_nobodys_loss(tmp_path):
    with keeping([tmp_path / "none.svg", "a\0b"]):
        write_atomically(tmp_path / "none.svg", b"new")
    assert (tmp_path / "none.svg").read_bytes() == b"new"
