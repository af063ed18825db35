"""The command that folds: what it writes, and what it says when it cannot."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from shapely.geometry import box

from canivet.cli.fold import command, read_border, read_ring
from canivet.cutting import Cutting
from canivet.errors import BadValue
from canivet.export import piece_svg
from canivet.motifs.fold_kinds import KINDS, TAKERS


def run(*words: str) -> Result:
    return CliRunner().invoke(command, list(words))


def test_a_piece_and_its_packet_are_written(tmp_path: Path) -> None:
    piece, packet = tmp_path / "rose.svg", tmp_path / "packet.svg"
    result = run("medallion", "--count", "8", "--ring", "drops fill", "--ring", "petals count=2", "--thickness", "0.05mm",
                 "-o", str(piece), "--packet", str(packet))  # fmt: skip
    assert result.exit_code == 0, result.output
    assert 'id="paper"' in piece.read_text(encoding="utf-8")
    assert 'id="wedge"' in packet.read_text(encoding="utf-8")
    assert "holds at a strap of 1.5 mm" in result.stderr
    assert result.stdout.splitlines() == [str(piece), str(packet)]


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_is_drawn(kind: str, tmp_path: Path) -> None:
    panels = ["--panels", "2"] if kind in TAKERS["panels"] else []
    result = run(kind, *panels, "--thickness", "0.02mm", "-o", str(tmp_path / "a.svg"))
    assert result.exit_code == 0, result.output


def test_a_seed_draws_the_same_twice(tmp_path: Path) -> None:
    for name in ("a", "b"):
        assert run("medallion", "--seed", "5", "-o", str(tmp_path / f"{name}.svg")).exit_code == 0
    assert (tmp_path / "a.svg").read_bytes() == (tmp_path / "b.svg").read_bytes()


def test_ones_own_wedge_is_taken_as_drawn(tmp_path: Path) -> None:
    drawing, piece = tmp_path / "bar.svg", tmp_path / "piece.svg"
    drawing.write_text(piece_svg(Cutting(box(0, 0, 10, 20), 1, "Bar")), encoding="utf-8")
    result = run("mirror", "--size", "100x100", "--wedge", str(drawing), "--at", "20x40", "-o", str(piece))
    assert result.exit_code == 0, result.output
    assert "L70 40" in piece.read_text(encoding="utf-8")
    refused = run("mirror", "--size", "100x100", "--wedge", str(drawing), "--at", "45x40", "-o", str(piece))
    assert isinstance(refused.exception, BadValue)
    assert "leave the wedge" in str(refused.exception)


def test_a_silhouette_is_folded_with_the_sheet(tmp_path: Path) -> None:
    drawing, piece = tmp_path / "bar.svg", tmp_path / "piece.svg"
    drawing.write_text(piece_svg(Cutting(box(0, 0, 10, 20), 1, "Bar")), encoding="utf-8")
    result = run("mirror", "--size", "100x140", "--figure", str(drawing), "--width", "40", "-o", str(piece))
    assert result.exit_code == 0, result.output
    assert "openings 1," in result.stderr


def test_a_group_that_cannot_be_folded_is_drawn_flat_on_request(tmp_path: Path) -> None:
    refused = run("p4gm", "-o", str(tmp_path / "a.svg"))
    assert "folding cannot make it" in str(refused.exception)
    assert run("p4gm", "--flat", "-o", str(tmp_path / "a.svg")).exit_code == 0
    with_packet = run("p4gm", "--flat", "-o", str(tmp_path / "a.svg"), "--packet", str(tmp_path / "b.svg"))
    assert "Leave --packet out" in str(with_packet.exception)


@pytest.mark.parametrize(
    ("text", "words"),
    [("", "is empty"), ("petal", "Did you mean 'petals'"), ("petals cont=2", "Did you mean 'count'"),
     ("petals count=two", "count is 'two'"), ("petals at=middle", "fold or between"), ("petals count", "takes: share")],
)  # fmt: skip
def test_a_ring_that_cannot_be_read_is_refused(text: str, words: str) -> None:
    with pytest.raises(BadValue, match=words):
        read_ring(text)


def test_rings_and_borders_are_read() -> None:
    ring = read_ring("Petals count=3 at=between width=0.8 fill")
    assert (ring.motif, ring.count, ring.at, ring.width, ring.fill) == ("petals", 3, "between", 0.8, True)
    border = read_border("scallops count=2 depth=0.5cm")
    assert (border.kind, border.count, border.depth) == ("scallops", 2, 5.0)


def test_a_kind_that_is_not_known_is_refused(tmp_path: Path) -> None:
    assert "Did you mean 'medallion'" in str(run("medalion", "-o", str(tmp_path / "a.svg")).exception)


def test_a_sheet_too_small_to_fold_is_refused(tmp_path: Path) -> None:
    words = ("medallion", "--size", "200x200", "-o", str(tmp_path / "a.svg"))
    assert run(*words, "--paper", "A4", "--thickness", "0.05mm").exit_code == 0
    refused = run(*words, "--paper", "A5")
    assert "needs 200 × 200 mm before folding" in str(refused.exception)
