"""Folds by the name of their kind: the sheet each is usually made of, and what each may be told.

A kind is asked for by name, with the size a person has in mind: that of the open sheet, or of one panel where
the sheet is folded both ways. Sizes and numbers that are not given are *common practice*.
"""

from __future__ import annotations

import math

from canivet.errors import BadValue, suggest
from canivet.lengths import format_mm
from canivet.motifs.folding.wedge.rings import Ring, WedgeDrawing
from canivet.parameters import parameters_of

from .fold import Fold
from .folds import accordion_fold, medallion_fold, mirror_fold, plane_fold, quarter_fold
from .groups import FRIEZES, PLANE_GROUPS, require_foldable
from .stars import one_snip_star

__all__ = [
    "KINDS",
    "ROUND",
    "TAKERS",
    "USUAL_RINGS",
    "check_kind",
    "fold_of_kind",
    "snipped_star",
    "usual_rim",
    "usual_thickness",
]

KINDS = ("mirror", "quarter", "medallion", "accordion", "lengthwise", "p2mm", "p4mm", "p3m1", "p6mm", "star")
"""What a sheet can be folded into."""

ROUND = ("quarter", "medallion", "p4mm", "p3m1", "p6mm")
"""Kinds whose rings lie about a point, so that an eye can be cut there."""

TAKERS: dict[str, tuple[str, ...]] = {
    "count": ("medallion", "star"),
    "panels": ("accordion", "lengthwise", "p2mm", "p4mm", "p3m1", "p6mm"),
    "rows": ("p2mm", "p4mm"),
    "hem": ("accordion", "lengthwise", "p2mm"),
}
"""Which kinds take a parameter that not all of them take."""

USUAL_RINGS = (Ring("drops", fill=True), Ring("petals", count=2))
"""What is drawn where nothing is asked for."""

_SIZES = {
    "mirror": (100.0, 140.0),
    "quarter": (120.0, 120.0),
    "medallion": (180.0, 180.0),
    "star": (180.0, 180.0),
    "p2mm": (45.0, 45.0),
    "p4mm": (45.0, 45.0),
    "p3m1": (45.0, 45.0),
    "p6mm": (45.0, 45.0),
}
"""mm, of the open sheet; of one panel or triangle for the plane groups."""

_PANEL = (30.0, 80.0)
"""mm, of one panel of an accordion."""

_COUNT, _PANELS, _ROWS = 6, 6, 2

_TRIANGLES = {"p3m1": 2, "p6mm": 1}
"""To a side of the hexagon: layers grow with its square."""

_ONE_SIDED = {
    "medallion": "a medallion is folded from a square",
    "star": "a star is folded from a square",
    "p4mm": "the panels of p4mm are squares",
    "p3m1": "the triangles of p3m1 have equal sides",
    "p6mm": "the triangles of p6mm have equal sides",
}


def usual_rim(strap: float) -> float:
    """Return the paper kept along an open edge where nothing is asked: a strap and a half, mm.

    Examples
    --------
    >>> usual_rim(2)
    3.0
    """
    return 1.5 * strap


def usual_thickness(kind: str) -> float:
    """Return the thickness of the paper a kind is folded from where nothing is asked, mm: tissue for p6mm.

    Examples
    --------
    >>> usual_thickness("mirror"), usual_thickness("p6mm") * fold_of_kind("p6mm").layers <= 3
    (0.1, True)
    """
    return 0.04 if kind == "p6mm" else 0.1


def check_kind(kind: str) -> None:
    """Refuse what no sheet can be folded into, with the reason.

    Raises
    ------
    BadValue
        If the kind is not known, or is a symmetry that folding cannot make.

    Examples
    --------
    >>> check_kind("medallion")
    """
    if kind in KINDS:
        return
    if kind in PLANE_GROUPS or kind in FRIEZES:
        require_foldable(kind, strip=kind not in PLANE_GROUPS)
        # The one foldable frieze whose symbol is no plane group's.
        raise BadValue(
            f"KIND is {kind!r}; an accordion has that symmetry. Give accordion.",
            parameter="KIND", value=kind, accepted="accordion",
        )  # fmt: skip
    raise BadValue(
        f"KIND is {kind!r}; it takes one of: {', '.join(KINDS)}.{suggest(kind, KINDS)}",
        parameter="KIND", value=kind, accepted=", ".join(KINDS),
    )  # fmt: skip


def fold_of_kind(
    kind: str,
    *,
    size: tuple[float, float] | None = None,
    count: int | None = None,
    panels: int | None = None,
    rows: int | None = None,
    hem: float | None = None,
) -> Fold:
    """A sheet folded in the way that is named, of the usual size unless one is given.

    Parameters
    ----------
    kind : str
        One of `KINDS`; a star's sheet is folded as a medallion's.
    size : (float, float) or None
        Width and height of the open sheet, or of one panel or triangle in a plane group, mm. Both sides are
        the same where the sheet or panel is a square or a triangle. None for 100 × 140 (mirror), 120 × 120
        (quarter), 180 × 180 (medallion, star), 30 × 80 to a panel (accordion, lengthwise), 45 × 45 (plane
        groups).
    count : int or None
        Repeats of a medallion, 2 to 16, or points of a star, 5 to 16; None for 6.
    panels : int or None
        Panels across, or triangles to a side of the hexagon of p3m1 and p6mm; None for 6 panels, 2
        triangles of p3m1, 1 of p6mm.
    rows : int or None
        Panels up, in p2mm and p4mm; None for 2.
    hem : float or None
        Paper standing out past the outer panels, mm, for accordion, lengthwise and p2mm; None for 0.

    Returns
    -------
    Fold

    Raises
    ------
    BadValue
        If the kind is not known, does not take what is given (see `TAKERS`), or a number is out of range.
    DoesNotFit
        If a hem is asked for where no fold ends at the border.

    Examples
    --------
    >>> fold_of_kind("accordion", size=(160, 60), panels=4).sheet.bounds
    (0.0, 0.0, 160.0, 60.0)
    >>> fold_of_kind("p3m1").layers
    24
    """
    check_kind(kind)
    _check_takers(kind, count=count, panels=panels, rows=rows, hem=hem)
    hem = 0.0 if hem is None else hem
    match kind:
        case "mirror" | "quarter":
            width, height = size or _SIZES[kind]
            return (mirror_fold if kind == "mirror" else quarter_fold)(width=width, height=height)
        case "medallion":
            return medallion_fold(count=_COUNT if count is None else count, width=_side(kind, size))
        case "star":
            return snipped_star(size=size, count=count)[0]
        case "accordion" | "lengthwise":
            panels = parameters_of(accordion_fold)["panels"].check(_PANELS if panels is None else panels)
            width, height = size or (_PANEL[0] * panels, _PANEL[1])
            return accordion_fold(
                panels=panels, width=width / panels, height=height, hem=hem, lengthwise=kind == "lengthwise"
            )
        case _:
            return _plane(kind, size, panels, _ROWS if rows is None else rows, hem)


def snipped_star(
    *, size: tuple[float, float] | None = None, count: int | None = None
) -> tuple[Fold, WedgeDrawing]:
    """A star cut with one straight snip out of a folded square, of the usual size unless one is given.

    Parameters
    ----------
    size : (float, float) or None
        Sides of the square, mm, both the same; None for 180 × 180.
    count : int or None
        Points, 5 to 16; None for 6.

    Returns
    -------
    Fold, WedgeDrawing
        As `one_snip_star`.

    Raises
    ------
    BadValue
        If the sides differ, or a number is out of range.

    Examples
    --------
    >>> snipped_star(count=5)[0].layers
    10
    """
    return one_snip_star(points=_COUNT if count is None else count, width=_side("star", size))


def _plane(group: str, size: tuple[float, float] | None, panels: int | None, rows: int, hem: float) -> Fold:
    """Return a sheet folded both ways."""
    if group == "p2mm":
        width, height = size or _SIZES[group]
        columns = _PANELS if panels is None else panels
        return plane_fold(group=group, columns=columns, rows=rows, width=width, height=height, hem=hem)
    columns = _TRIANGLES.get(group, _PANELS) if panels is None else panels
    return plane_fold(group=group, columns=columns, rows=rows, width=_side(group, size))


def _side(kind: str, size: tuple[float, float] | None) -> float:
    """Return the one side of a square or triangle."""
    width, height = size or _SIZES[kind]
    if not math.isclose(width, height, abs_tol=1e-6):
        least = format_mm(min(width, height))
        raise BadValue(
            f"size is {format_mm(width)} × {format_mm(height)} mm; {_ONE_SIDED[kind]}. Give the same side "
            f"twice, such as {least} × {least} mm.",
            parameter="size", value=size, accepted="two equal sides",
        )  # fmt: skip
    return width


def _check_takers(kind: str, **given: float | None) -> None:
    for name, value in given.items():
        if value is not None and kind not in TAKERS[name]:
            raise BadValue(
                f"{name} is {value:g}; it goes with {', '.join(TAKERS[name])}, and {kind} has none. Leave "
                f"{name} out.",
                parameter=name, value=value, accepted="None",
            )  # fmt: skip
