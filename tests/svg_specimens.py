"""SVG drawings for the tests of the reader: what it must read, and what it must warn of."""

import shapely
from shapely.geometry import MultiPolygon

from canivet.compose.reading.svg import read_svg

XMLNS = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'


def svg(body: str, head: str = 'width="96" height="96" viewBox="0 0 100 100"') -> bytes:
    return f"<svg {XMLNS} {head}>{body}</svg>".encode()


def paper(
    data: str, *, box: str = "0 0 30 20", size: str = 'width="30mm" height="20mm"', more: str = ""
) -> bytes:
    return f'<svg {XMLNS} {size} viewBox="{box}"><path id="paper" fill-rule="evenodd" d="{data}" {more}/></svg>'.encode()


def read_area(source: bytes) -> MultiPolygon:
    """Return the paper in mm, y up, on the page."""
    reading = read_svg(source, name="specimen.svg")
    return shapely.transform(reading.area, lambda p: p * reading.mm_per_unit)


SPECIMENS = {
    "evenodd": '<path fill-rule="evenodd" d="M5 5H95V95H5zM20 20H80V80H20zM35 35H65V65H35z"/>',
    "nonzero with a ring turned back": '<path d="M5 5H95V95H5zM20 20V80H80V20z"/>',
    "star crossing itself, nonzero": '<path d="M50 5 L78 92 L4 38 H96 L22 92z"/>',
    "star crossing itself, evenodd": '<path fill-rule="evenodd" d="M50 5 L78 92 L4 38 H96 L22 92z"/>',
    "light over dark": '<circle cx="50" cy="50" r="45"/><circle cx="40" cy="45" r="20" fill="white"/>'
    '<circle cx="35" cy="45" r="8"/>',
    "stroke, mitre": '<path d="M15 80 L50 20 L85 80" fill="none" stroke="black" stroke-width="12"/>',
    "stroke, mitre past its limit": '<path d="M15 30 H85 L15 45" fill="none" stroke="black" stroke-width="9"/>',
    "stroke, closed": '<rect x="20" y="20" width="60" height="50" fill="none" stroke="black" stroke-width="9"/>',
    "stroke, round": '<path d="M20 80 L50 20 L80 80" fill="none" stroke="#000" stroke-width="14" '
    'stroke-linecap="round" stroke-linejoin="round"/>',
    "stroke, square and bevel": '<path d="M20 80 L50 20 L80 80" fill="none" stroke="#000" stroke-width="14" '
    'stroke-linecap="square" stroke-linejoin="bevel"/>',
    "stroke of a curve": '<path d="M10 60 C30 -20 70 140 90 40" fill="none" stroke="black" stroke-width="7"/>',
    "corner reset inside a group": '<g stroke-linejoin="round" stroke="black" stroke-width="16" fill="none">'
    '<path stroke-linejoin="miter" d="M15 80 L50 20 L85 80"/></g>',
    "stroke squeezed by a transform": '<path transform="translate(10 40) scale(.8 .2) rotate(20)" '
    'd="M10 20 H80 V90" fill="none" stroke="black" stroke-width="20"/>',
    "dashes": '<circle cx="50" cy="50" r="38" fill="none" stroke="black" stroke-width="9" '
    'stroke-dasharray="12 5" stroke-dashoffset="4"/>',
    "odd dashes": '<path d="M5 30H95M5 60H95" stroke="black" stroke-width="9" stroke-dasharray="9 4 3"/>',
    "dashes of no length": '<path d="M10 20H90M10 50L85 88" stroke="black" stroke-width="9" stroke-linecap="round" '
    'stroke-dasharray="0 13"/>',
    "dots": '<path d="M30 50h0M70 50h0" stroke="black" stroke-width="30" stroke-linecap="round"/>',
    "clip path": '<clipPath id="c"><circle cx="40" cy="50" r="30"/></clipPath>'
    '<rect width="100" height="60" clip-path="url(#c)"/>',
    "clip path of shapes turned against each other": '<clipPath id="c"><path d="M10 10H60V60H10z"/>'
    '<path d="M40 40V90H90V40z"/></clipPath><rect width="100" height="100" clip-path="url(#c)"/>',
    "clip path by evenodd": '<clipPath id="c"><path clip-rule="evenodd" d="M10 10H90V90H10zM30 30H70V70H30z"/>'
    '</clipPath><rect width="100" height="100" clip-path="url(#c)"/>',
    "clip path inside clip path": '<clipPath id="a"><circle cx="40" cy="50" r="35"/></clipPath><clipPath id="b">'
    '<circle cx="60" cy="50" r="35"/></clipPath><g clip-path="url(#a)"><rect width="100" height="100" '
    'clip-path="url(#b)"/></g>',
    "nested use": '<defs><rect id="r" width="9" height="20"/><g id="row"><use href="#r"/><use href="#r" x="15"/>'
    '</g></defs><use href="#row" x="8" y="8"/><use xlink:href="#row" transform="translate(50 60) rotate(20)"/>',
    "symbol": '<symbol id="s" viewBox="0 0 10 10"><circle cx="5" cy="5" r="5"/></symbol>'
    '<use href="#s" x="10" y="20" width="60" height="40"/>',
    "transforms": '<g transform="translate(50 50)"><g transform="rotate(30) skewX(20)"><path '
    'transform="matrix(1 .2 -.3 .8 2 3)" d="M-25 -25H25V25H-25z"/></g></g>',
    "CSS class": "<style>.paper{fill:black}.hole{fill:#fff} #big .quiet{display:none}</style><g id='big'>"
    "<rect class='paper' x='10' y='10' width='80' height='80'/><rect class='hole' x='30' y='30' width='20' "
    "height='40'/><rect class='quiet' width='100' height='9'/></g>",
    "style attribute": '<rect x="10" y="10" width="80" height="80" fill="white" style="fill:rgb(0, 0, 0)"/>',
    "inherited currentColor": '<g color="white"><rect color="black" fill="currentColor" width="70" height="60"/></g>',
    "arcs": '<path d="M20 50 a30 20 25 1 0 60 0 a30 20 25 0 1 -60 0z M45 12 A 9 9 0 1 1 45.1 12z"/>',
    "smooth curves": '<path d="M10 50 C20 10 40 10 50 50 S80 90 90 50 Q80 95 50 90 T10 50z"/>',
    "polygon and ellipse": '<polygon points="5,5 95,20 60,90"/><ellipse cx="20" cy="70" rx="14" ry="22"/>',
    "rounded rectangle": '<rect x="10" y="20" width="80" height="50" rx="12"/>',
    "group opacity that hides": '<rect width="90" height="90"/><g opacity=".8"><rect x="20" y="20" width="40" '
    'height="40" fill="white"/></g>',
    "nested svg": '<svg x="20" y="10" width="60" height="80" viewBox="0 0 10 10" '
    'preserveAspectRatio="xMinYMax slice"><circle cx="5" cy="5" r="6"/></svg>',
    "marker": '<marker id="m" markerWidth="4" markerHeight="4" refX="2" refY="2"><rect width="4" height="4"/>'
    '</marker><path d="M20 50H80" stroke="black" stroke-width="6" marker-end="url(#m)" marker-start="url(#m)"/>',
    "hidden parts": '<rect width="50" height="50"/><g display="none"><rect width="99" height="99"/></g>'
    '<rect y="50" width="99" height="30" visibility="hidden"/>',
}  # fmt: skip

WARNED = {
    "mask": ('<mask id="m"><rect width="9" height="9" fill="white"/></mask><rect width="50" height="50" '
             'mask="url(#m)"/>', "A mask is not seen"),
    "filter": ('<filter id="f"><feOffset dx="40" dy="40"/></filter><rect width="50" height="50" '
               'filter="url(#f)"/>', "A filter (blur, shadow) is not seen"),
    "pattern": ('<pattern id="p" width="4" height="4"><rect width="2" height="2"/></pattern><rect width="50" '
                'height="50" fill="url(#p)"/>', "A pattern fill is not seen"),
    "gradient": ('<linearGradient id="g"><stop offset="0" stop-color="black"/><stop offset="1" '
                 'stop-color="#444"/></linearGradient><rect width="50" height="50" fill="url(#g)"/>',
                 "A gradient is read as one even tone"),
    "image": ('<rect width="50" height="50"/><image href="http://example.invalid/a.png" width="9" height="9"/>',
              "A picture placed inside the drawing is left out"),
    "foreignObject": ('<rect width="50" height="50"/><foreignObject width="99" height="99"><svg width="99" '
                      'height="99"><rect width="99" height="99"/></svg></foreignObject>', "Foreign content"),
    "switch": ('<switch><rect width="50" height="50"/></switch>', "A switch is read by its first branch"),
    "colour": ('<rect width="50" height="50" fill="brown"/>', "Greys and colours are read as dark or light"),
    "unknown colour": ('<rect width="50" height="50" fill="var(--ink)"/>', "'var(--ink)' is not understood"),
    "faint paint": ('<rect width="50" height="50"/><rect width="99" height="99" opacity=".2"/>',
                    "Paint too faint to hide what lies under it is left out"),
    "blend": ('<rect width="50" height="50" style="mix-blend-mode:screen"/>', "A blend mode is not seen"),
    "unscaled stroke": ('<rect width="50" height="50" vector-effect="non-scaling-stroke"/>',
                        "A stroke that keeps its width"),
    "turns": ('<rect width="50" height="50" style="transform:rotate(1turn)"/>', "is not understood in full"),
}  # fmt: skip
