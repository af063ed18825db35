"""``NAME-pads.pdf``: the piece from behind at true size, the places of its pads numbered."""

from __future__ import annotations

import math

import shapely

from canivet.compose.finish.finished import Finish
from canivet.compose.finish.pads import pad_square
from canivet.export.page.marks import Word
from canivet.lengths import counted, format_mm
from canivet.sheets import Sheet

from .sheets import open_page

__all__ = ["pad_page"]

_MOST = 5
_PALE = "#dedede"


def pad_page(finish: Finish) -> tuple[str, Sheet, str]:
    """Return the template for the pads as an SVG document, its sheet and its title."""
    pads = finish.pads
    assert pads is not None
    last = finish.stack[-1]
    title = f"{finish.plate.cutting.title}: pads"
    page = open_page(
        last.cutting.paper,
        title,
        [
            f"{counted(len(pads.pads), 'pad')} of {format_mm(pads.side)} × {format_mm(pads.side)} mm, "
            f"{format_mm(pads.raise_)} mm high",
            f"not seen up to {pads.viewed_deg:g}° from straight on",
            f"no paper more than {format_mm(math.ceil(pads.farthest))} mm from one"
            + (", but for what stands free" if pads.overhangs else ""),
            "seen from behind",
        ],
        [
            "Lay this page under the piece, face down, on a window or a light table, and set each pad on its "
            "square; those on a corner stay on it. Only squares in black are pads.",
            *(
                f"Stands free: {format_mm(one.length, 0)} mm from the nearest pad, at the ring {chr(97 + k)}."
                for k, one in enumerate(pads.overhangs[:_MOST])
            ),
        ],
        mirrored=True,
        preferred=last.cutting.sheet,
    )
    pen, view = page.pen, page.view
    pen.within("piece")
    pen.shape(view.path(last.cutting.paper), fill=_PALE, id="paper")
    pen.lines(
        [view.places(ring.coords).tolist() for ring in shapely.get_rings(last.cutting.paper)], width=0.12
    )
    pen.within("pads")
    for pad in pads.pads:
        square = pad_square(pad.at, pads.side, pad.turn_deg)
        pen.shape(view.path(square), fill="#000000")
        x, y = view.places([pad.at])[0]
        away = 0.75 * pads.side + 0.6
        pen.words(
            [Word(str(pad.number), float(x) + away, float(y) - away / 2, 3.1)], weight="bold", halo=True
        )
    pen.within("overhangs")
    for k, one in enumerate(pads.overhangs[:_MOST]):
        x, y = view.places([one.at])[0]
        ring = shapely.Point(x, y).buffer(2.2)
        pen.lines([list(ring.exterior.coords)], width=0.3)
        pen.words([Word(chr(97 + k), float(x) + 2.8, float(y) + 1.0, 3.1)], weight="bold", halo=True)
    return pen.text(), page.sheet, title
