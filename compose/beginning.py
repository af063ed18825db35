"""A design to begin from: commented, drawn at once, and to be changed line by line."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from shapely import LineString

from canivet.compose.design.loading import Design
from canivet.compose.design.motif_table import UsedMotif
from canivet.errors import CanivetError, DoesNotFit
from canivet.lengths import format_length, parse_length, parse_size
from canivet.motifs.frames.frame import Frame
from canivet.motifs.registry import Motif, find_motif

from .plate import compose_plate

__all__ = ["SCHEMA_FILE", "begin_design"]

SCHEMA_FILE = "design-keys.json"
"""Where a design that is begun looks for its schema: beside itself."""

_SIZES = ("4x6 in", "6x4 in", "50x180 mm", "2x8 in", "150x210 mm", "210x297 mm")
"""Tried in this order where nothing is asked for: a bookplate, a lying one, a bookmark, and larger."""

_WORDS = ("Ex libris", "Saltmere", "Ada Reed", "Reed", "Ada")
"""For the panels of a frame: in each the first that it takes and none before it has."""

_ROOM, _ROUND_ROOM = (0.88, 0.88), (0.7, 0.76)
"""Width and height of the figure, of a window with corners and of a round one, whose foot is narrow."""

_SQUARE = 0.85
"""Share of its box above which a window has corners: that of an oval is π/4."""

_SET_IN = 1.0
"""mm that a figure is set into what it stands on."""

_BESIDE = 3.0
"""mm from the middle of a window within which a panel is what a figure stands on."""

_HEAD = """
#:schema ./{schema}
# A design for canivet. Draw it:          canivet make {name}
# Draw it anew at every save:             canivet make --watch {name}
# A line that begins with # says nothing to the program: take the # away, and it does.

title = "{title}"
size = "{size}"             # width x height of the piece, in mm, cm, in or pt; or ["4x6 in", "5x7 in"]
strap = "{strap}"           # the narrowest paper left anywhere
smallest_opening = "0.5 mm"   # radius of the disc that fits into every opening
# slip = "0.2 mm"             # how far your hand may stray: straps are drawn wider by twice this

[paper]
faces = "dark on one face"    # or "plain", "dark on both faces"; the page is mirrored where it must be
grammage = 90                 # g/m²
"""

_FRAMED = """
[frame]
motif = "{frame}"   # canivet motifs {frame}: what it takes
"""

_BUILT = """
# [frame]                # instead of outline, border, ground and vignette; "canivet motifs" lists them
# motif = "arched-window"

[outline]
motif = "rectangle"           # or "rounded-rectangle", "oval", "circle", "arch", "pointed-arch"

[border]
motif = "scallop"             # any border; canivet motifs scallop tells what it takes
band = "9.5 mm"               # from the edge to the window

[ground]
motif = "diamond-lattice"     # any lattice; leave the table out, and the window is open
pitch = "5.6 mm"
rim = "1.2 mm"

[vignette]                    # an outline cut clear in the ground, for the figure to stand in
shape = "arch"
width = "84%"                 # of the window
height = "90%"
anchor = "foot"
rim = "1 mm"
"""

_FIGURE = """
[[silhouette]]                # as many as you like, each under its own heading
motif = "tree"                # a form that canivet grows; or a drawing of yours, file = "heron.svg"
settings = {{seed = 4}}         # another number, another tree
width = "{wide}"                 # of the window
height = "{high}"
anchor = "foot"               # which point of it goes to the same point of the window
offset = ["0 mm", "{up}"]   # set a little into what it stands on
"""

_LETTERING = """
[[lettering]]
text = "{text}"
panel = "{panel}"                # a panel of the frame
mode = "raised"               # letters that stay; or "cut out"
"""

_PLACED_WORDS = """
# [[lettering]]
# text = "Ex libris"
# width = "60%"               # of the window
# height = "14 mm"
# anchor = "foot"
"""

_FOOT = """
# [series]                    # one plate for every row of a list; its column name goes where {name} stands
# list = "names.csv"
"""


def begin_design(
    name: str, *, frame: str | None = None, size: str | None = None, strap: str = "1.2 mm"
) -> str:
    """Return the text of a commented design that is drawn as it stands.

    Parameters
    ----------
    name : str
        What its file is called.
    frame : str, optional
        A frame of the catalogue; without it, outline, border, ground and vignette one by one.
    size : str, optional
        As a design has it; a bookplate's if not given, or the first usual size that the frame fits.
    strap : str
        The narrowest paper left anywhere.

    Raises
    ------
    BadValue
        If there is no such frame, or a size or strap cannot be read.
    DoesNotFit
        If the frame cannot be drawn at that size.

    Examples
    --------
    >>> import tomllib
    >>> tomllib.loads(begin_design("pond.toml", frame="plinth"))["frame"]
    {'motif': 'plinth'}
    """
    width = parse_length(strap, parameter="strap")
    asked = {"schema": SCHEMA_FILE, "name": name, "title": "Ex libris, Saltmere", "strap": strap}
    if frame is None:
        parse_size(size or _SIZES[0])
        pages = [_HEAD.format(size=size or _SIZES[0], **asked), _BUILT, _figure(0.88, 0.92), _PLACED_WORDS]
    else:
        motif = find_motif(frame, family="frame", parameter="frame")
        fits, drawn = _fitted(motif, size, width)
        pages = [
            _HEAD.format(size=fits, **asked),
            _FRAMED.format(frame=motif.name),
            _figure_in(drawn),
            *(_LETTERING.format(panel=p, text=t) for p, t in _worded(motif, drawn, fits, strap)),
        ]
    return "\n".join(page.strip("\n") + "\n" for page in [*pages, _FOOT])


def _figure(wide: float, high: float, up: float = 0.0) -> str:
    return _FIGURE.format(wide=f"{wide:.0%}", high=f"{high:.0%}", up=format_length(up - _SET_IN, 1))


def _figure_in(frame: Frame) -> str:
    """Return a figure that stands on the window's foot, or on the panel that stands there."""
    x0, y0, x1, y1 = frame.window.bounds
    round_ = frame.window.area < _SQUARE * (x1 - x0) * (y1 - y0)
    wide, high = _ROUND_ROOM if round_ else _ROOM
    middle = LineString([((x0 + x1) / 2, y0), ((x0 + x1) / 2, y1)])
    tops = [panel.bounds[3] for panel in frame.panels.values() if panel.buffer(_BESIDE).intersects(middle)]
    up = max([0.0, *(top - y0 for top in tops)])
    return _figure(wide, high * (1 - up / (y1 - y0)), up)


def _fitted(motif: Motif, size: str | None, strap: float) -> tuple[str, Frame]:
    """Return a size that a frame fits and the frame drawn at it; the first usual one where none is asked."""
    refused: CanivetError | None = None
    for tried in _SIZES if size is None else (size,):
        width, height = parse_size(tried)
        try:
            return tried, motif.draw(width=width, height=height, strap=strap)
        except DoesNotFit as error:
            refused = refused or error
    assert refused is not None
    raise refused


def _worded(motif: Motif, drawn: Frame, size: str, strap: str) -> Iterator[tuple[str, str]]:
    """Give each panel of a frame the first words that fit it."""
    taken: set[str] = set()
    for panel in drawn.panels:
        for text in _WORDS:
            if text not in taken and _takes(motif, panel, text, size, strap):
                taken.add(text)
                yield panel, text
                break


def _takes(motif: Motif, panel: str, text: str, size: str, strap: str) -> bool:
    """Say whether a frame with nothing but words in one panel can be drawn, and holds."""
    frame, outline = UsedMotif(motif, {}), UsedMotif(find_motif("rectangle"), {})
    words: Any = [{"text": text, "panel": panel}]
    lengths: Any = {"size": size, "strap": strap}
    try:
        return compose_plate(
            Design(title=text, frame=frame, outline=outline, lettering=words, **lengths)
        ).report.holds
    except DoesNotFit:
        return False
