"""``NAME-layers.pdf``: a page for each sheet of the stack with its register, and the stack as it is laid."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import box

from canivet.compose.finish.finished import Finish
from canivet.compose.finish.layers import Leaf, register_marks
from canivet.export.page.marks import Word
from canivet.export.page.pen import Pen
from canivet.export.page.view import PieceView
from canivet.lengths import format_mm
from canivet.sheets import Sheet

from .patches import colour_in_words
from .sheets import open_page

__all__ = ["layer_pages"]

_ARM = 2.2
_AROUND = 9.0


def layer_pages(finish: Finish) -> Iterator[tuple[str, Sheet, str]]:
    """Yield a page for each sheet as an SVG document, its sheet and its title, from the front one back."""
    outline = finish.plate.parts.outline
    marks = register_marks(outline)
    count = len(finish.stack)
    for number, leaf in enumerate(finish.stack, start=1):
        title = f"{finish.plate.cutting.title}: sheet {number} of {count}, {_called(leaf)}"
        stock = leaf.cutting.stock
        page = open_page(
            outline,
            title,
            [
                f"{number} of {count} from the front",
                "as the piece's paper" if leaf.colour is None else f"colour {colour_in_words(leaf.colour)}",
                stock.faces.value,
                f"straps {format_mm(leaf.cutting.strap)} mm or wider",
                "seen from behind" if stock.faces.mirrored else "seen from the front",
            ],
            [
                "Cut what is white. Prick through the four crosses outside the piece: with pins through the "
                "same holes in every sheet all lie right. A sheet turned round or over does not fit them.",
                *([_gap(leaf)] if leaf.below else []),
            ],
            mirrored=stock.faces.mirrored,
            around=_AROUND,
            preferred=leaf.cutting.sheet,
        )
        page.pen.within("piece")
        # the view lays the outline; the layer keeps its own place in it
        page.pen.shape(page.view.path(leaf.cutting.paper), fill="#000000", id="paper")
        page.pen.within("register")
        _register(page.pen, page.view, marks)
        yield page.pen.text(), page.sheet, title
    yield _stack_page(finish)


def _called(leaf: Leaf) -> str:
    return "the piece" if leaf.name == "piece" else leaf.name.replace("-", " ")


def _gap(leaf: Leaf) -> str:
    return f"It stands {format_mm(leaf.below, 1)} mm off the sheet behind it: strips of foam along the edge."


def _register(pen: Pen, view: PieceView, marks: tuple[tuple[float, float], ...]) -> None:
    lines = []
    for k, (x, y) in enumerate(view.places(marks)):
        lines += [[(x - _ARM, y), (x + _ARM, y)], [(x, y - _ARM), (x, y + _ARM)]]
        pen.words([Word("abcd"[k], float(x) + 0.9, float(y) - 0.9, 2.6)])
    pen.lines(lines, width=0.18)


def _stack_page(finish: Finish) -> tuple[str, Sheet, str]:
    """Draw the sheets one before the other from the side, with what stands between, and name them."""
    title = f"{finish.plate.cutting.title}: the stack"
    rows = len(finish.stack)
    step, wide = 16.0, 120.0
    room = box(0, 0, wide, step * rows + 10)
    page = open_page(
        room, title, ["from the front, at the top, to the back"],
        ["How the sheets lie: not to scale. The picture of the finished piece shows their shadows."],
        mirrored=False,
    )  # fmt: skip
    left, top = page.view.left, page.view.top
    lines, words = [], []
    for k, leaf in enumerate(finish.stack):
        y = top + 8 + step * k
        lines.append([(left, y), (left + 34, y)])
        told = "as its paper" if leaf.colour is None else colour_in_words(leaf.colour)
        words.append(
            Word(
                f"{k + 1}  {_called(leaf)}, {told}, {format_mm(leaf.cutting.stock.thickness)} mm",
                left + 40,
                y + 1,
                3.4,
            )
        )
        if leaf.below:
            words.append(Word(f"{format_mm(leaf.below, 1)} mm between", left + 40, y + 1 + step / 2, 3.1))
            lines += [[(left + x, y + 3), (left + x, y + step - 3)] for x in (2, 32)]
    page.pen.within("stack")
    page.pen.lines(lines, width=1.1)
    page.pen.words(words)
    return page.pen.text(), page.sheet, title
