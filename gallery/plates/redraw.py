"""Lay the pictures of all plates out on one sheet: ``python gallery/plates/redraw.py``.

The plates themselves are drawn by ``gallery/redraw.py``.
"""

from __future__ import annotations

from pathlib import Path

from PIL import Image

HERE = Path(__file__).parent
_WIDE, _ACROSS = 420, 4
_GROUND = (240, 236, 228)


def redraw() -> None:
    """Write ``plates.png``, every plate to the same longest side."""
    paths = [path for path in sorted(HERE.glob("*.png")) if path.name != "plates.png"]
    down = -(-len(paths) // _ACROSS)
    sheet = Image.new("RGB", (_WIDE * _ACROSS, _WIDE * down), _GROUND)
    for k, path in enumerate(paths):
        picture = Image.open(path).convert("RGB")
        picture.thumbnail((_WIDE, _WIDE))
        left = _WIDE * (k % _ACROSS) + (_WIDE - picture.width) // 2
        sheet.paste(picture, (left, _WIDE * (k // _ACROSS) + (_WIDE - picture.height) // 2))
    sheet.quantize(64).save(HERE / "plates.png", optimize=True)
    print("plates.png", len(paths), "plates")


if __name__ == "__main__":
    redraw()
