"""The bounds that motifs share: what a strap, a rim or a pitch may be, each written once.

Each is a type for a signature, as in ``strap: Strap = 1.2``. A family whose range or meaning differs has a
bound of its own under its own name; one that a single motif takes stands in that motif's signature.
"""

from __future__ import annotations

from typing import Annotated

from canivet.parameters import Choice, Flag, Length, Share

__all__ = [
    "BandWidth", "BorderRim", "BorderWidth", "Detail", "Facing", "Fit", "FormHeight", "FormStrap",
    "FormWidth", "Grade", "GroundPitch", "LatticeRim", "PanelShare", "PieceHeight", "PieceWidth",
    "PlateHeight", "PlateRim", "PlateStrap", "PlateWidth", "RepeatLength", "Roundness", "Smallest",
    "Spacing", "Strap", "Toward",
]  # fmt: skip

Smallest = Annotated[
    float, Length("radius of the smallest opening worth cutting: its largest inscribed circle", 0.1, 10)
]
"""Of every motif that is pierced."""

Strap = Annotated[float, Length("narrowest paper left between openings", 0.3, 20)]
"""Of borders and lattices, which are all openings; a form or a frame has limbs as well."""

PieceWidth = Annotated[float, Length("width of the piece", 5, 3000)]
PieceHeight = Annotated[float, Length("height of the piece", 5, 3000)]

BandWidth = Annotated[float, Length("width of the band", 3, 80)]
LEAST_RIM = 0.3
"""mm, the narrowest rim that borders and lattices take."""

BorderRim = Annotated[float, Length("paper kept along the outline", LEAST_RIM, 40)]
RepeatLength = Annotated[float, Length("about how long a repeat is; re-counted to fit", 1, 400)]

LatticeRim = Annotated[float, Length("paper kept along every edge", LEAST_RIM, 100)]
"""Along openings of the piece too; no band has to hold it, so it may be wider than a border's."""

Fit = Annotated[
    bool, Flag("whether the pitch gives way a little so that whole cells fill the region's width and height")
]
Grade = Annotated[float, Share("how much smaller openings get toward one side; 0 keeps them all alike", 0, 1)]
Toward = Annotated[
    str,
    Choice(
        "where openings get smaller and straps wider",
        "foot",
        "head",
        "left",
        "right",
        "middle",
        "edge",
        "vignette",
    ),
]
Roundness = Annotated[float, Share("how round the corners of cells are", 0, 1)]
Spacing = Annotated[float, Length("about how far the middles of cells lie apart", 2, 200)]

FormWidth = Annotated[float, Length("width of the box to fill", 5, 400)]
FormHeight = Annotated[float, Length("height of the box to fill", 5, 400)]
FormStrap = Annotated[float, Length("narrowest paper left anywhere, points aside", 0.3, 10)]
"""Of the limbs of a form too, down to the points of its leaves; in a box of at most 400 mm."""

Facing = Annotated[str, Choice("which way it looks", "right", "left")]
Detail = Annotated[float, Share("how many of its openings are cut, the chief ones first")]

PlateWidth = Annotated[float, Length("width of the plate", 30, 1000)]
PlateHeight = Annotated[float, Length("height of the plate", 30, 1000)]
PlateStrap = Annotated[float, Length("narrowest paper left anywhere", 0.3, 20)]
PlateRim = Annotated[float, Length("paper kept along the outline, and of the main members", 0.3, 40)]
BorderWidth = Annotated[float, Length("width of the border", 3, 80)]
GroundPitch = Annotated[float, Length("about how large a cell of the ground is", 1, 200)]
PanelShare = Annotated[float, Share("height of the name panel as a share of the plate's; 0 for none", 0, 0.4)]
