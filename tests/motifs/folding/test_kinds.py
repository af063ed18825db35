"""The command that folds, and what it stands on: what it writes, and what it says when it cannot."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner, Result
from shapely.geometry import Point, Polygon, box

from canivet.audit.strength import check_strength
from canivet.cli.fold import command
from canivet.cutting import Cutting
from canivet.errors import BadValue, DoesNotFit
from canivet.export import piece_svg
from canivet.motifs.folding.flat_sheets import flat_sheet
from canivet.motifs.folding.folds import mirror_fold
from canivet.motifs.folding.groups import PLANE_GROUPS
from canivet.motifs.folding.kinds import KINDS, TAKERS, fold_of_kind, snipped_star
from canivet.motifs.folding.packet import plan_packet
from canivet.motifs.folding.weak import DoesNotHold
from canivet.motifs.folding.wedge.words import read_border, read_ring


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


# Folds by kind


@pytest.mark.parametrize(
    ("kind", "size", "layers"),
    [("mirror", (100, 140), 2), ("quarter", (120, 120), 4), ("medallion", (180, 180), 12), ("star", (180, 180), 12),
     ("accordion", (180, 80), 6), ("lengthwise", (180, 80), 12), ("p2mm", (270, 90), 12), ("p4mm", (270, 90), 24)],
)  # fmt: skip
def test_each_kind_has_its_usual_sheet(kind: str, size: tuple[float, float], layers: int) -> None:
    fold = fold_of_kind(kind)
    low_x, low_y, high_x, high_y = fold.sheet.bounds
    assert ((high_x - low_x, high_y - low_y), fold.layers) == (pytest.approx(size), layers)


@pytest.mark.parametrize(("group", "layers"), [("p3m1", 6), ("p6mm", 36)])
def test_a_hexagon_has_as_many_layers_as_its_triangles(group: str, layers: int) -> None:
    # A hexagon of side n is made of 6n² triangles.
    for n in (1, 2, 3):
        fold = fold_of_kind(group, panels=n, size=(30, 30))
        assert fold.layers == layers * n**2
        assert fold.sheet.area == pytest.approx(6 * n**2 * 3**0.5 / 4 * 30**2)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("name", TAKERS)
def test_a_kind_takes_what_the_table_says_and_nothing_else(kind: str, name: str) -> None:
    value = {"count": 5, "panels": 4, "rows": 3, "hem": 6.0}[name]
    if kind in TAKERS[name]:
        usual, told = fold_of_kind(kind), fold_of_kind(kind, **{name: value})
        assert (told.layers, told.hem) != (usual.layers, usual.hem)
    else:
        with pytest.raises(BadValue, match=f"{name} is {value:g}; it goes with .*, and {kind} has none"):
            fold_of_kind(kind, **{name: value})


@pytest.mark.parametrize("panels", [0, -1, 33])
def test_panels_out_of_range_are_refused_before_they_divide_the_sheet(panels: int) -> None:
    with pytest.raises(BadValue, match="panels is"):
        fold_of_kind("accordion", panels=panels)


def test_a_star_is_folded_from_the_sheet_of_its_kind() -> None:
    fold, drawing = snipped_star(size=(90, 90), count=7)
    assert fold.sheet.equals(fold_of_kind("star", size=(90, 90), count=7).sheet)
    assert drawing.kept is not None
    assert not drawing.openings


# Flat sheets


@pytest.mark.parametrize("symbol", PLANE_GROUPS)
def test_every_plane_group_is_cut_flat_and_holds(symbol: str) -> None:
    paper = flat_sheet(symbol, width=80, height=60, strap=1.2)
    assert check_strength(paper, strap=1.2).holds
    assert len(paper.interiors) >= 4


@pytest.mark.parametrize("rim", [1.5, 2.0, 6.5])
def test_a_rim_that_is_asked_for_is_the_rim_that_is_kept(rim: float) -> None:
    paper = flat_sheet("p6", rim=rim)
    holes = Polygon(paper.exterior).difference(paper)
    assert holes.distance(paper.exterior) == pytest.approx(rim, abs=1e-3)


@pytest.mark.parametrize(
    ("asked", "kind", "words"),
    [({"rim": 1.4}, BadValue, "takes a strap"), ({"rim": 80.0}, DoesNotFit, "no room for an opening"),
     ({"rim": 75.0}, DoesNotFit, "no room for an opening"), ({"rim": 74.9}, DoesNotFit, "no room for an opening"),
     ({"strap": 0.0}, BadValue, "strap is 0 mm"), ({"width": 19.0}, BadValue, "width is 19 mm")],
)  # fmt: skip
def test_a_flat_sheet_without_openings_is_refused(
    asked: dict[str, float], kind: type[Exception], words: str
) -> None:
    with pytest.raises(kind, match=words):
        flat_sheet("p4gm", **asked)


# Weak, or not to be made at all


COMB = box(60, 20, 80, 60).difference(box(69.5, 20, 70.5, 50))
"""Between its halves stands a tongue of paper 1 mm wide, hanging from the bottom."""


def planned(*openings: Polygon, **more: float) -> object:
    settings = {"strap": 1.5, "rim": 3.0, **more}
    return plan_packet(mirror_fold(), openings, title="Trial", **settings)


def test_a_piece_with_a_weak_tongue_opens_but_does_not_hold() -> None:
    with pytest.raises(DoesNotHold, match="does not hold") as caught:
        planned(COMB)
    assert (caught.value.exit_code, caught.value.parameter) == (3, "openings")
    assert caught.value.at is not None
    assert caught.value.accepted == "straps of 1.5 mm everywhere"


def test_a_piece_that_holds_is_planned() -> None:
    plan = planned(COMB, strap=1.0)
    assert len(plan.piece.interiors) == 2  # type: ignore[attr-defined]


@pytest.mark.parametrize(
    ("opening", "words"),
    [(box(50.3, 20, 60, 60), "fold|crease"), (box(60, 20, 99, 60), "edge"),
     (box(50, 20, 80, 60).difference(box(50, 30, 70, 50)), "fall out")],
)  # fmt: skip
def test_a_piece_that_cannot_be_made_is_not_called_weak(opening: Polygon, words: str) -> None:
    with pytest.raises(DoesNotFit, match=words) as caught:
        planned(opening)
    assert not isinstance(caught.value, DoesNotHold)
    assert caught.value.exit_code == 1


def test_openings_too_near_one_another_do_not_fit() -> None:
    with pytest.raises(DoesNotFit) as caught:
        planned(Point(70, 40).buffer(5), Point(81, 40).buffer(5))
    assert not isinstance(caught.value, DoesNotHold)


@pytest.mark.parametrize(("strap", "rim"), [(1.0, 4.0), (3.0, 6.0)])
def test_a_flat_sheet_keeps_four_millimetres_or_two_straps_along_its_edge(strap: float, rim: float) -> None:
    # common practice, no source
    paper = flat_sheet("p2", strap=strap)
    nearest = min(Polygon(ring).distance(paper.exterior) for ring in paper.interiors)
    assert rim - 0.01 <= nearest
