"""Font files made for a test."""

from __future__ import annotations

from pathlib import Path

from fontTools.fontBuilder import FontBuilder
from fontTools.pens.t2CharStringPen import T2CharStringPen
from fontTools.pens.ttGlyphPen import TTGlyphPen

__all__ = ["hebrew_face"]


def hebrew_face(path: Path, *, otf: bool = False) -> Path:
    """Build a face of oblongs, each letter of another width, so that the order can be read off the widths."""
    widths = {"א": 300, "ב": 400, "ג": 500, "A": 600, "B": 700, "1": 210, "2": 220, " ": 250}
    names = [".notdef", *(f"uni{ord(c):04X}" for c in widths)]
    builder = FontBuilder(1000, isTTF=not otf)
    builder.setupGlyphOrder(names)
    builder.setupCharacterMap({ord(c): f"uni{ord(c):04X}" for c in widths})
    drawn: dict[str, object] = {}
    for name, width in zip(names, [500, *widths.values()], strict=True):
        pen = T2CharStringPen(width, None) if otf else TTGlyphPen(None)
        if name != "uni0020":
            corners = [(50, 0), (50, 700), (width - 50, 700), (width - 50, 0)]
            pen.moveTo(corners[0])
            for corner in corners[1:]:
                pen.lineTo(corner)
            pen.closePath()
        drawn[name] = pen.getCharString() if otf else pen.glyph()
    if otf:
        builder.setupCFF("Oblongs", {}, drawn, {})
    else:
        builder.setupGlyf(drawn)
    builder.setupHorizontalMetrics({n: (w, 50) for n, w in zip(names, [500, *widths.values()], strict=True)})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupNameTable({"familyName": "Oblongs", "styleName": "Regular"})
    builder.setupOS2()
    builder.setupPost()
    builder.save(path)
    return path
