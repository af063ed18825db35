"""The page to have beside the table: one HTML file that goes through a cutting plan step by step."""

from __future__ import annotations

import base64
import hashlib
import html
import json
import os
from importlib.resources import files
from typing import Any

import numpy as np
import shapely
from shapely.geometry import Polygon

from canivet.audit.strength import StrengthReport
from canivet.compose.planning.steps import CuttingPlan, OpeningPlan, Stroke
from canivet.export.files import write_atomically
from canivet.export.page.foot import CAUTIONS
from canivet.lengths import counted, format_mm

from .telling import in_hours

__all__ = ["MOST_PATHS", "beside_html", "write_beside"]

MOST_PATHS = 3000
"""Openings drawn as elements of their own, which keep titles and print; more are painted on a canvas."""

THINNED = 0.02
"""mm by which a line on the screen may stray from the drawn one; invisible at any size a screen shows it."""

_HANDLE = 8.0
"""mm of sheet shown round the piece."""

_MOST_WEAK = 12


def beside_html(
    plan: CuttingPlan, paper: Polygon, *, report: StrengthReport | None = None, finished: bytes | None = None
) -> str:
    """Return the page beside the table as one HTML document that needs nothing else.

    Parameters
    ----------
    plan : CuttingPlan
        Of this paper.
    paper : Polygon
        What stays, mm, as seen from the finished front.
    report : StrengthReport, optional
        Where given, its single holds and narrowest necks are shown as weak places.
    finished : bytes, optional
        A PNG of the finished piece, to be looked at beside the work.

    Returns
    -------
    str
        HTML; the piece lies in it as seen from the side that is cut.

    Examples
    --------
    >>> from shapely import box
    >>> from canivet.compose.planning.plan import plan_cutting
    >>> paper = box(0, 0, 30, 20) - box(5, 5, 9, 9)
    >>> page = beside_html(plan_cutting(paper, title="<Card>"), paper)
    >>> "&lt;Card&gt;" in page, "http://" in page.replace("http://www.w3.org/2000/svg", "")
    (True, False)
    """
    table = _Table(plan, paper)
    data = _data(plan, table, report)
    width, height = table.width, table.height
    filled = {
        "css": _part("beside.css"),
        "script": _part("beside.js"),
        "title": html.escape(plan.title or "A cutting"),
        "facts": html.escape(_facts(plan)),
        "side": html.escape(_side(plan)),
        "cautions": html.escape(" ".join(CAUTIONS)),
        "viewbox": f"{-_HANDLE:g} {-_HANDLE:g} {width + 2 * _HANDLE:g} {height + 2 * _HANDLE:g}",
        "around": table.around(),
        "outline": table.outline,
        "waste": "" if len(plan.openings) > MOST_PATHS else "".join(map(_waste, data["openings"])),
        "plan": _for_script(data),
        "finished": _finished(finished, plan.title),
    }
    head, *rest = _part("beside.html").split("@")
    # the template's fields stand between at signs; what is filled in is never looked through again
    return head + "".join(filled.get(piece, piece) if k % 2 == 0 else piece for k, piece in enumerate(rest))


def write_beside(
    path: str | os.PathLike[str],
    plan: CuttingPlan,
    paper: Polygon,
    *,
    report: StrengthReport | None = None,
    finished: bytes | None = None,
) -> None:
    """Write `beside_html` to a file, whole or not at all.

    Raises
    ------
    CannotWrite
        If the file cannot be put in place.
    """
    write_atomically(path, beside_html(plan, paper, report=report, finished=finished).encode())


class _Table:
    """The piece as it lies on the table: seen from the side that is cut, y down, from its upper left."""

    def __init__(self, plan: CuttingPlan, paper: Polygon) -> None:
        self.left, self.low, self.right, self.top = paper.bounds
        self.width, self.height = self.right - self.left, self.top - self.low
        self.mirrored = plan.mirrored
        self.rings = shapely.simplify(shapely.get_rings(paper)[1:], THINNED)
        self.outline = self.path(shapely.simplify(paper.exterior, THINNED).coords)

    def places(self, points: Any) -> np.ndarray[Any, np.dtype[np.float64]]:
        """Return places of the drawing as they lie, (n, 2), to a hundredth of a millimetre."""
        xy = np.asarray(points, float)[:, :2]
        x = self.right - xy[:, 0] if self.mirrored else xy[:, 0] - self.left
        return np.column_stack([x, self.top - xy[:, 1]]).round(2) + 0.0

    def path(self, points: Any) -> str:
        """Return a ring as path data."""
        return "M" + "L".join(f"{x:g} {y:g}" for x, y in self.places(points)[:-1].tolist()) + "Z"

    def around(self) -> str:
        """Return the sheet round the piece as path data."""
        w, h, m = self.width, self.height, _HANDLE
        return f"M{-m:g} {-m:g}H{w + m:g}V{h + m:g}H{-m:g}Z"


def _data(plan: CuttingPlan, table: _Table, report: StrengthReport | None) -> dict[str, Any]:
    length = sum(opening.length for opening in plan.openings) + sum(s.length for s in plan.outline)
    pace = plan.minutes / length
    many = len(plan.openings) > MOST_PATHS
    fingerprint = hashlib.sha256(repr([plan.title, plan.openings]).encode()).hexdigest()[:16]
    return {
        "key": f"canivet-plan-{fingerprint}",
        "mirrored": plan.mirrored,
        "width": round(table.width, 2),
        "height": round(table.height, 2),
        "margin": _HANDLE,
        "side": _side(plan),
        "sittings": plan.sittings,
        "outline_when": plan.settings.outline,
        "most_paths": MOST_PATHS,
        "paper": table.outline if many else "",
        "around": table.around() if many else "",
        "openings": [_opening(one, table, pace) for one in plan.openings],
        "outline": _strokes(plan.outline, table),
        "weak": _weak(report, table),
    }


def _opening(one: OpeningPlan, table: _Table, pace: float) -> dict[str, Any]:
    ring = table.rings[one.ring]
    at = table.places([one.at])[0]
    corners = table.places(ring.coords)
    pierce = None
    if one.pierce is not None:
        pierce = [*table.places([one.pierce.at])[0].tolist(), round(one.pierce.arm, 2)]
    tools = {stroke.tool for stroke in one.strokes}
    return {
        "number": one.number,
        "d": table.path(ring.coords),
        "at": at.tolist(),
        "r": round(one.radius, 2),
        "reach": round(float(np.hypot(*(corners - at).T).max()), 2),
        "sitting": one.sitting,
        "minutes": round(one.length * pace, 2),
        "kind": " and ".join(sorted(tools)),
        "pierce": pierce,
        "strokes": _strokes(one.strokes, table),
    }


def _strokes(strokes: tuple[Stroke, ...], table: _Table) -> list[dict[str, Any]]:
    lines = shapely.simplify([shapely.linestrings(stroke.points) for stroke in strokes], THINNED)
    return [
        {
            "tool": stroke.tool,
            "points": table.places(line.coords).tolist(),
            "angle": None if stroke.sheet_angle is None else round(stroke.sheet_angle, 1),
            "frees": stroke.frees,
            "below": stroke.from_below,
            "overrun": stroke.overrun,
        }
        for stroke, line in zip(strokes, lines, strict=True)
    ]


def _weak(report: StrengthReport | None, table: _Table) -> list[dict[str, Any]]:
    """Return the narrowest place and the holds likeliest to tear, each with what hangs on it."""
    if report is None:
        return []
    found = [
        (hold, f"{format_mm(hold.width, 2)} mm wide; {format_mm(hold.hanging, 0)} mm² hang on it alone")
        for hold in report.single_holds[:_MOST_WEAK]
    ]
    if report.weakest is not None:
        found.append((report.weakest, f"the narrowest strap, {format_mm(report.weakest.width, 2)} mm"))
    return [
        {"at": table.places([weak.at])[0].tolist(), "width": round(weak.width, 2), "words": words}
        for weak, words in found
    ]


def _finished(picture: bytes | None, title: str) -> str:
    """Return the finished view, folded away until it is asked for."""
    if picture is None:
        return ""
    data = base64.b64encode(picture).decode()
    called = html.escape(f"{title or 'The piece'} as it will look, mounted")
    return (
        '<details id="finished"><summary>How it will look</summary>'
        f'<img alt="{called}" src="data:image/png;base64,{data}"></details>'
    )


def _waste(opening: dict[str, Any]) -> str:
    return f'<path class="waste" d="{opening["d"]}"/>'


def _facts(plan: CuttingPlan) -> str:
    through = f" through {plan.layers} layers" if plan.layers > 1 else ""
    return (
        f"{counted(len(plan.openings), 'opening')}{through}, about {in_hours(plan.minutes)} in "
        f"{counted(plan.sittings, 'sitting')}, {counted(plan.blades, 'blade')}; "
        f"grade {plan.grade.value} of 5."
    )


def _side(plan: CuttingPlan) -> str:
    if plan.mirrored:
        return "As it lies before you: the back, mirrored. White falls away; hatched is gone."
    return "As it lies before you: the front. White falls away; hatched is gone."


def _for_script(data: dict[str, Any]) -> str:
    """Return JSON that nothing in a title can break out of."""
    text = json.dumps(data, separators=(",", ":"), ensure_ascii=False)
    return text.replace("<", "\\u003c").replace("\u2028", "\\u2028").replace("\u2029", "\\u2029")


def _part(name: str) -> str:
    return files(__package__).joinpath(name).read_text(encoding="utf-8").rstrip("\n")
