"""The estimate as one page for whoever ordered the piece: what it will be, what it takes, what it costs."""

from __future__ import annotations

import base64
import io

from canivet.compose.finish.estimate import Estimate, Material
from canivet.compose.finish.finished import Finish
from canivet.export.page.marks import BODY, LEADING, Word, title_block
from canivet.export.page.pen import Pen
from canivet.export.page.setup import MARGIN
from canivet.export.page.words import clean, with_real_quotes, wrap
from canivet.lengths import counted, format_inches, format_mm
from canivet.sheets import SHEETS, Sheet

from .view import FinishedView

__all__ = ["estimate_page", "in_time", "material_in_words"]

_PICTURE = (92.0, 120.0)
_PLAIN = {
    "matted": "It lies behind a board with a window.",
    "panes": "It is held between two panes of glass.",
    "float": "It lies free on its ground, all its edges seen.", "flat": "It is laid flat on its ground.",
    "raised": "It stands a little before its ground and throws a fine shadow on it.",
}  # fmt: skip


_CALLED = {
    "work": "Work by hand", "paper": "Paper", "coloured": "Coloured papers", "mat": "Board with its window",
    "board": "Boards behind it", "glass": "Glass", "foam": "What lifts it", "frame": "Frame",
    "blade": "Blades",
}  # fmt: skip
"""What the maker prices, in a customer's words."""


def in_time(minutes: float) -> str:
    """Return a time to the nearest quarter of an hour, as a customer is told it.

    Examples
    --------
    >>> in_time(57), in_time(370)
    ('about 1 hour', 'about 6¼ hours')
    """
    quarters = max(1, round(minutes / 15))
    whole, part = divmod(quarters, 4)
    told = f"{whole or ''}{('', '¼', '½', '¾')[part]}"
    return f"about {told} hour{'' if quarters <= 4 else 's'}"


def material_in_words(one: Material) -> str:
    """Return a material as it stands on a list to buy from."""
    size = f"{format_mm(one.size[0], 0)} × {format_mm(one.size[1], 0)} mm"
    wasted = f", {100 * one.wasted:.0f} % of it left over" if one.wasted is not None else ""
    grain = ", the grain upright" if one.grain else ""
    return f"{one.count} × {one.what}: {size}{wasted}{grain}"


def estimate_page(estimate: Estimate, finish: Finish | None, view: FinishedView) -> tuple[str, Sheet, str]:
    """Return the page as an SVG document, its sheet and its title.

    Parameters
    ----------
    estimate : Estimate
    finish : Finish or None
        Its mount, for what the customer gets.
    view : FinishedView
        How it will look.
    """
    title, sheet = f"{estimate.title}: estimate", SHEETS["A4"]
    pen, wide = Pen(sheet, title), sheet.width - 2 * MARGIN
    head = title_block(estimate.title, wide)
    pen.block(head, MARGIN, MARGIN + 2)
    top = MARGIN + head.height + 10
    low = _picture(pen, view, top)
    right = MARGIN + _PICTURE[0] + 12
    y = _written(pen, _what(estimate, finish), right, top, wide - _PICTURE[0] - 12)
    y = _sums(pen, estimate, max(y, low) + 12)
    said = (
        "The hours of cutting are reckoned from the drawing, those of gluing and mounting from what is "
        "usual; the hand may take longer or be quicker. The picture shows the piece as it is drawn; one cut "
        "by hand is a little different everywhere."
    )
    _written(pen, [said], MARGIN, y + 8, wide)
    return _with_picture(pen.text(), view, top), sheet, title


def _what(estimate: Estimate, finish: Finish | None) -> list[str]:
    width, height = estimate.size
    told = [
        "What you will have",
        f"A picture cut by hand out of paper, {format_mm(width / 10, 1)} × {format_mm(height / 10, 1)} cm "
        f"({format_inches(width)} × {format_inches(height)}).",
    ]
    if finish and finish.mounted and finish.settings:
        glazed = " There is glass before it." if finish.mounted.panes == 1 else ""
        told.append(_PLAIN[finish.settings.kind] + glazed)
        outer = finish.mounted.frame or finish.mounted.board
        called = "With its frame" if finish.mounted.frame else "With all round it"
        told.append(
            f"{called} it is {format_mm(outer.width / 10, 1)} × {format_mm(outer.height / 10, 1)} cm "
            f"({format_inches(outer.width)} × {format_inches(outer.height)})."
        )
    hours = in_time(estimate.minutes + estimate.finishing)
    return [
        *told,
        "",
        "What it takes",
        f"Work by hand: {hours}, the cutting in {counted(estimate.sittings, 'sitting')}.",
    ]


def _written(pen: Pen, lines: list[str], left: float, top: float, width: float) -> float:
    """Set lines one under the other, those that head others in bold; return where they end."""
    y = top
    for line in lines:
        heads = line.startswith(("What ", "Price")) and not line.endswith(".")
        for row in wrap(with_real_quotes(clean(line)), BODY, width) or [""]:
            y += LEADING
            pen.words([Word(row, left, y)], weight="bold" if heads else "normal")
    return y


def _sums(pen: Pen, estimate: Estimate, top: float) -> float:
    """Set the price with what it is made up of; without a price nothing."""
    if estimate.price is None:
        return top
    y = _written(pen, ["Price"], MARGIN, top, 100)
    for what, amount in _grouped(estimate):
        y += LEADING
        pen.words([Word(what, MARGIN, y)])
        pen.words([Word(f"{amount:,.2f}", MARGIN + 120, y)], anchor="end")
    y += 1.6
    pen.lines([[(MARGIN + 96, y), (MARGIN + 120, y)]], width=0.2)
    y += LEADING + 0.6
    pen.words([Word("In all", MARGIN, y)], weight="bold")
    pen.words([Word(f"{estimate.price:,.2f}", MARGIN + 120, y)], anchor="end", weight="bold")
    pen.words([Word(clean(estimate.money), MARGIN + 122, y)], weight="bold")
    missing = [_CALLED[kind] for kind in _CALLED if kind in {one.kind for one in estimate.unpriced}]
    if missing:
        y = _written(pen, [f"Not in it: {'; '.join(missing).lower()}."], MARGIN, y + 1, 150)
    return y


def _grouped(estimate: Estimate) -> list[tuple[str, float]]:
    """Return the price's lines as a customer reads them: one for each kind of thing."""
    sums: dict[str, float] = {}
    for kind, _, amount in estimate.lines:
        called = _CALLED.get(kind, "All else")
        sums[called] = round(sums.get(called, 0.0) + amount, 2)
    return list(sums.items())


def _extent(view: FinishedView) -> tuple[float, float]:
    wide, high = view.picture.size
    scale = min(_PICTURE[0] / wide, _PICTURE[1] / high)
    return wide * scale, high * scale


def _picture(pen: Pen, view: FinishedView, top: float) -> float:
    pen.within("picture")
    return top + _extent(view)[1]


def _with_picture(svg: str, view: FinishedView, top: float) -> str:
    """Put the picture into the page, at the resolution that it is printed in."""
    wide, high = _extent(view)
    picture = view.picture.copy()
    picture.thumbnail((1100, 1400))
    out = io.BytesIO()
    picture.save(out, "PNG")
    data = base64.b64encode(out.getvalue()).decode()
    image = (
        f'<image x="{MARGIN:.3f}" y="{top:.3f}" width="{wide:.3f}" height="{high:.3f}" '
        f'xlink:href="data:image/png;base64,{data}"/>'
    )
    return svg.replace('<g id="picture"', f'{image}<g id="picture"', 1)
