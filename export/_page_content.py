"""What of a PDF page is written here and not drawn by cairo: pieces as paths, and the words as text.

A piece is the most of its page, and its path data is a PDF's path but for the letters' place; a page without
it is the same for all plates of a series. The letters used are embedded as a Type 3 font, drawn from their
outlines. So a reader finds, copies and reads out the words, whatever their script, and every engine draws
them from the outlines that the SVG has, with no font of the machine's own.

References
----------
ISO 32000-1: 8.5 (paths), 9.6.5 (Type 3 fonts), 9.4.3 (TJ), 9.10.3 (ToUnicode).
"""

from __future__ import annotations

import math
import re
import zlib
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import groupby
from typing import TYPE_CHECKING, Any, TypeAlias
from xml.etree import ElementTree

from canivet.export.page.setting import SetGlyph, outline_of
from canivet.export.page.typeset import SVG, Line
from canivet.motifs.lettering.faces import Face
from canivet.sheets import Sheet

if TYPE_CHECKING:
    from pypdf import PageObject, PdfWriter

__all__ = ["POINTS_PER_MM", "LiftedPiece", "embed_words", "lay_pieces", "lift_pieces"]

POINTS_PER_MM = 72 / 25.4
"""A PDF unit is 1/72 in (ISO 32000-1, 8.3.2.3)."""

_EM = 1000
"""Units of the embedded font to an em."""

_MOST = 256
"""Letters in one font: a code is a byte."""

_KEPT = 4096
"""Letters that are kept as they were drawn, a few hundred bytes each: plates of a series share most."""

_Letter: TypeAlias = tuple[Face, int, str]
"""A glyph and what it stands for."""

_Codes: TypeAlias = dict[_Letter, tuple[int, int]]
"""Which font a letter is in, and its code there."""


@dataclass(frozen=True, slots=True)
class LiftedPiece:
    """A piece as it was drawn on a page: path data, y down, fill, and line; its width and the data in mm.

    `place` is how far it was moved, right and down in mm, and how many times as large it was drawn.
    """

    data: str
    fill: str
    stroke: str
    width: float
    place: tuple[float, float, float] | None

    def operators(self) -> str:
        """Return it as it is painted in a PDF whose units are those of the page it was drawn on."""
        rings = (ring.removesuffix("Z").partition("L") for ring in self.data.split("M")[1:])
        path = "".join("{} m\n{} l\nh\n".format(first, rest.replace("L", " l\n")) for first, _, rest in rings)
        painted = {(True, False): "f*", (False, True): "S", (True, True): "B*"}[
            self.fill != "none", self.stroke != "none"
        ]
        colours = (_colour(self.fill, "rg") if self.fill != "none" else "") + (
            f"{_colour(self.stroke, 'RG')}{self.width:g} w 1 j\n" if self.stroke != "none" else ""
        )
        if self.place is None:
            return f"{colours}{path}{painted}\n"
        x, y, scale = self.place
        return f"q\n{scale:.6f} 0 0 {scale:.6f} {x:.3f} {y:.3f} cm\n{colours}{path}{painted}\nQ\n"


_OURS = re.compile(r"(?:M-?[\d.]+ -?[\d.]+(?:L-?[\d.]+ -?[\d.]+)+Z)+")
_PLACED = re.compile(r"translate\((-?[\d.]+) (-?[\d.]+)\) scale\(([\d.]+)\)")
_KNOWN = {
    "d", "id", "fill", "fill-rule", "stroke", "stroke-width", "stroke-linejoin", "data-face", "transform",
}  # fmt: skip
_ASIDE = ("title", "desc", "metadata")


def lift_pieces(svg: str) -> tuple[str, tuple[LiftedPiece, ...]]:
    """Take the pieces, and what is only said of them, out of a page whose words are lifted.

    Parameters
    ----------
    svg : str
        As `canivet.export.page.typeset.lift_words` leaves it.

    Returns
    -------
    (str, tuple of LiftedPiece)
        The rest of the page, to be laid over the pieces; the page as it is and none where it does not begin
        with whole pieces on a sheet.
    """
    root = ElementTree.fromstring(svg)
    drawn = [child for child in root if child.tag not in {f"{{{SVG}}}{name}" for name in _ASIDE}]
    ground, group = (*[one for one in drawn if one.tag != f"{{{SVG}}}defs"], None, None)[:2]
    if ground is None or group is None or ground.get("id") != "sheet" or group.attrib != {"id": "piece"}:
        return svg, ()
    lifted = [_lifted(piece.attrib) for piece in group]
    whole = tuple(piece for piece in lifted if piece is not None)
    if len(whole) < len(lifted):
        return svg, ()
    for child in [*(child for child in root if child not in drawn), ground, group]:
        root.remove(child)
    return ElementTree.tostring(root, encoding="unicode"), whole


def _lifted(given: Mapping[str, str]) -> LiftedPiece | None:
    """Return a path of a page as a piece; None where it is anything else."""
    moved = _PLACED.fullmatch(given.get("transform", ""))
    if (
        set(given) - _KNOWN
        or "fill" not in given
        or not _OURS.fullmatch(given.get("d", ""))
        or ("transform" in given) > bool(moved)
    ):
        return None
    x, y, scale = map(float, moved.groups()) if moved else (0.0, 0.0, 1.0)
    return LiftedPiece(
        given["d"], given["fill"], given.get("stroke", "none"), float(given.get("stroke-width", 0)),
        (x, y, scale) if moved else None,
    )  # fmt: skip


def lay_pieces(writer: PdfWriter, page: PageObject, pieces: Sequence[LiftedPiece], sheet: Sheet) -> None:
    """Lay pieces, on white, under what is drawn on a page."""
    from pypdf.generic import ArrayObject, NameObject

    k, high = POINTS_PER_MM, sheet.height * POINTS_PER_MM
    white = f"1 1 1 rg 0 0 {sheet.width:g} {sheet.height:g} re f\n"
    drawn = "".join(piece.operators() for piece in pieces)
    under = writer._add_object(_stream(f"q\n{k:.8f} 0 0 {-k:.8f} 0 {high:.6f} cm\n{white}{drawn}Q\n"))
    page[NameObject("/Contents")] = ArrayObject([under, *_contents(page)])


def _contents(page: PageObject) -> list[Any]:
    """Return the streams of a page."""
    from pypdf.generic import ArrayObject

    there: Any = page.raw_get("/Contents")
    return list(there) if isinstance(there, ArrayObject) else [there]


def _colour(name: str, operator: str) -> str:
    red, green, blue = (int(name[k : k + 2], 16) / 255 for k in (1, 3, 5))
    return f"{red:.3g} {green:.3g} {blue:.3g} {operator}\n"


def embed_words(writer: PdfWriter, pages: Sequence[tuple[PageObject, Sheet, Sequence[Line]]]) -> None:
    """Set the words of every page over its drawing.

    Parameters
    ----------
    writer : PdfWriter
        Whose pages they are.
    pages : sequence of (PageObject, Sheet, sequence of Line)
        A page that is drawn already, its size, and its words.
    """
    from pypdf.generic import ArrayObject, DictionaryObject, NameObject

    codes: _Codes = {}
    for _, _, lines in pages:
        for glyph in (glyph for line in lines for glyph in line.set.glyphs):
            codes.setdefault(_letter(glyph), divmod(len(codes), _MOST))
    fonts = [
        writer._add_object(_font(writer, [letter for letter, _ in letters]))
        for _, letters in groupby(codes.items(), key=lambda item: item[1][0])
    ]
    for page, sheet, lines in pages:
        if not lines:
            continue
        words = "Q\n" + "".join(_shown(line, sheet, codes) for line in lines)
        before, after = writer._add_object(_stream("q\n")), writer._add_object(_stream(words))
        page[NameObject("/Contents")] = ArrayObject([before, *_contents(page), after])
        resources: Any = page["/Resources"]
        named: Any = resources.setdefault(NameObject("/Font"), DictionaryObject())
        for font in sorted({codes[_letter(glyph)][0] for line in lines for glyph in line.set.glyphs}):
            named[NameObject(f"/Words{font}")] = fonts[font]


def _letter(glyph: SetGlyph) -> _Letter:
    return glyph.face, glyph.glyph, glyph.text


def _shown(line: Line, sheet: Sheet, codes: _Codes) -> str:
    """Return a line as a text object, its glyphs moved off the font’s own widths as they were set."""
    turn = math.radians(line.turn_deg)
    cos, sin = math.cos(turn), math.sin(turn)
    x, y = line.x * POINTS_PER_MM, (sheet.height - line.y) * POINTS_PER_MM
    place = " ".join(f"{number:.4f}" for number in (cos, -sin, sin, cos, x, y))
    size = line.size * POINTS_PER_MM
    return f"BT {_colour(line.fill, 'rg').strip()} {place} Tm\n" + "".join(_runs(line, size, codes)) + "ET\n"


def _runs(line: Line, size: float, codes: _Codes) -> Iterator[str]:
    """Yield the line's glyphs, those of one font and height at a time."""
    pen = 0.0
    for (font, rise), group in groupby(
        line.set.glyphs, key=lambda glyph: (codes[_letter(glyph)][0], glyph.y)
    ):
        shown = []
        for glyph in group:
            apart = round((pen - glyph.x) * 1000)
            shown.append(f"{apart}" if apart else "")
            shown.append(f"<{codes[_letter(glyph)][1]:02x}>")
            pen = pen - apart / 1000 + _advance(glyph.face, glyph.glyph) / _EM
        yield f"/Words{font} {size:.4f} Tf {rise * size:.4f} Ts [{''.join(shown)}] TJ\n"


def _advance(face: Face, glyph: int) -> int:
    advance: float = face.font.get_glyph_h_advance(glyph) * _EM / face.font.face.upem
    return round(advance)


def _font(writer: PdfWriter, letters: Sequence[_Letter]) -> Any:
    """Return a Type 3 font of these letters, their codes 0, 1, 2 …"""
    from pypdf.generic import ArrayObject, DictionaryObject, NameObject, NumberObject

    names = [NameObject(f"/g{code}") for code in range(len(letters))]
    drawn = [_drawn(face, glyph) for face, glyph, _ in letters]
    procedures = DictionaryObject(
        {
            name: writer._add_object(_stream(text, _deflated_once))
            for name, text in zip(names, drawn, strict=True)
        }
    )
    differences = ArrayObject([NumberObject(0), *names])
    encoding = {NameObject("/Type"): NameObject("/Encoding"), NameObject("/Differences"): differences}
    widths = ArrayObject([NumberObject(_advance(face, glyph)) for face, glyph, _ in letters])
    return DictionaryObject({
        NameObject("/Type"): NameObject("/Font"),
        NameObject("/Subtype"): NameObject("/Type3"),
        NameObject("/FontBBox"): ArrayObject([NumberObject(0)] * 4),  # each letter gives its own
        NameObject("/FontMatrix"): _numbers(1 / _EM, 0, 0, 1 / _EM, 0, 0),
        NameObject("/CharProcs"): procedures,
        NameObject("/Encoding"): DictionaryObject(encoding),
        NameObject("/FirstChar"): NumberObject(0),
        NameObject("/LastChar"): NumberObject(len(letters) - 1),
        NameObject("/Widths"): widths,
        NameObject("/Resources"): DictionaryObject(),
        NameObject("/ToUnicode"): writer._add_object(_stream(_meanings([text for *_, text in letters]))),
    })  # fmt: skip


@lru_cache(maxsize=_KEPT)
def _drawn(face: Face, glyph: int) -> str:
    """Return a letter's drawing, its width and box first."""
    scale = _EM / face.font.face.upem
    steps, points = [], []
    for command, *numbers in outline_of(face, glyph):
        scaled = [round(number * scale) for number in numbers]
        points += list(zip(scaled[::2], scaled[1::2], strict=True))
        operator = {"M": "m", "L": "l", "C": "c", "Z": "h"}[command]
        steps.append(" ".join([*(str(number) for number in scaled), operator]))
    xs, ys = zip(*points, strict=True) if points else ((0,), (0,))
    box = f"{_advance(face, glyph)} 0 {min(xs)} {min(ys)} {max(xs)} {max(ys)} d1"
    return "\n".join([box, *steps, *(["f"] if steps else [])])


def _meanings(texts: Sequence[str]) -> str:
    """Return the map from codes to characters; what only adds to its neighbour stands for nothing."""
    rows = [f"<{code:02x}> <{text.encode('utf-16-be').hex()}>" for code, text in enumerate(texts) if text]
    blocks = [rows[k : k + 100] for k in range(0, len(rows), 100)]  # as many as one block may hold
    mapped = "".join(f"{len(block)} beginbfchar\n" + "\n".join(block) + "\nendbfchar\n" for block in blocks)
    return (
        "/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n/CMapType 2 def\n"
        "/CMapName /Words def\n1 begincodespacerange\n<00> <ff>\nendcodespacerange\n"
        f"{mapped}endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n"
    )


def _numbers(*values: float) -> Any:
    from pypdf.generic import ArrayObject, FloatObject

    return ArrayObject([FloatObject(value) for value in values])


def _deflated(text: str) -> bytes:
    return zlib.compress(text.encode("ascii"))


_deflated_once = lru_cache(maxsize=_KEPT)(_deflated)


def _stream(text: str, deflated: Callable[[str], bytes] = _deflated) -> Any:
    from pypdf.generic import DecodedStreamObject, NameObject

    stream = DecodedStreamObject()
    stream[NameObject("/Filter")] = NameObject("/FlateDecode")
    stream.set_data(deflated(text))
    return stream
