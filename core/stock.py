"""The paper that is cut: which faces are dark, and how thick it is.

References
----------
Thickness by grammage: US GPO, *Government Paper Specification Standards*, JCP A55, 1999.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from itertools import pairwise

from .errors import BadValue, suggest
from .lengths import as_float, as_words, format_mm, shown

__all__ = ["THICKNESS_BY_GRAMMAGE", "USUAL_FACES", "Faces", "Stock", "thickness_for_grammage"]

THICKNESS_BY_GRAMMAGE = {75.0: 0.100, 90.0: 0.120, 105.0: 0.140, 120.0: 0.160}
"""g/m² to mm, each ± 0.013 mm (JCP A55)."""


class Faces(Enum):
    """Which faces of the sheet are dark."""

    PLAIN = "plain"
    DARK_ONE_FACE = "dark on one face"
    DARK_BOTH_FACES = "dark on both faces"

    @property
    def mirrored(self) -> bool:
        """Whether the drawing goes on the back and must be the mirror image of the piece.

        So it is for plain paper too: what is printed would else stay on the finished front. A sheet dark on
        both faces takes no print; the drawing is a template over its front.
        """
        return self is not Faces.DARK_BOTH_FACES

    @classmethod
    def named(cls, name: str, *, parameter: str = "faces") -> Faces:
        """Return the kind of that name.

        Raises
        ------
        BadValue
            If there is no such kind.
        """
        text = " ".join(as_words(name).replace("-", " ").replace("_", " ").split()).casefold()
        for kind in cls:
            if kind.value == text:
                return kind
        names = [kind.value for kind in cls]
        raise BadValue(
            f"{parameter} is {shown(name)}; it takes one of: {', '.join(names)}.{suggest(text, names)}",
            parameter=parameter, value=name, accepted=", ".join(names),
        )  # fmt: skip


USUAL_FACES = Faces.DARK_ONE_FACE
"""What a piece is cut from where nothing else is said, by whatever way it is drawn."""


@dataclass(frozen=True, slots=True)
class Stock:
    """A kind of paper: its faces and its thickness in mm.

    Parameters
    ----------
    faces : Faces
        Which faces are dark.
    grammage : float or None
        g/m², where it is known.
    thickness : float
        mm.
    """

    faces: Faces = USUAL_FACES
    grammage: float | None = 90.0
    thickness: float = 0.120

    @classmethod
    def of(
        cls,
        faces: Faces = USUAL_FACES,
        *,
        grammage: float | None = None,
        thickness: float | None = None,
    ) -> Stock:
        """Return a stock, taking the thickness from the published table where it is not given.

        Raises
        ------
        BadValue
            If the grammage is outside the table and no thickness is given, or either is no paper's.

        Examples
        --------
        >>> Stock.of(grammage=105).thickness
        0.14
        """
        if grammage is not None and not 1 <= grammage <= 2000:
            raise BadValue(
                f"grammage is {as_float(grammage):g} g/m²; paper and card run from 1 to 2000 g/m². "
                "Look on the pack.",
                parameter="grammage", value=grammage, accepted="1 to 2000 g/m²",
            )  # fmt: skip
        if thickness is not None:
            if not 0.01 <= thickness <= 2.0:
                raise BadValue(
                    f"thickness is {format_mm(as_float(thickness))} mm; paper and card run from 0.01 mm to 2 "
                    "mm. Measure ten sheets together and divide by ten.",
                    parameter="thickness", value=thickness, accepted="0.01 mm to 2 mm",
                )  # fmt: skip
            return cls(faces, grammage, thickness)
        grammage = 90.0 if grammage is None else grammage
        return cls(faces, grammage, thickness_for_grammage(grammage))


def thickness_for_grammage(grammage: float) -> float:
    """Return the thickness in mm of paper of so many g/m², between the table's rows by straight line.

    Raises
    ------
    BadValue
        If `grammage` is outside the table's 75 to 120 g/m².

    References
    ----------
    JCP A55, 1999: 75/90/105/120 g/m² are 0.100/0.120/0.140/0.160 mm, ± 0.013.

    Examples
    --------
    >>> thickness_for_grammage(90)
    0.12
    """
    rows = list(THICKNESS_BY_GRAMMAGE.items())
    for (g0, t0), (g1, t1) in pairwise(rows):
        if g0 <= grammage <= g1:
            return round(t0 + (t1 - t0) * (grammage - g0) / (g1 - g0), 6)
    raise BadValue(
        f"grammage is {as_float(grammage):g} g/m²; the published table runs from {rows[0][0]:g} to "
        f"{rows[-1][0]:g}. Give thickness instead: measure ten sheets together and divide by ten.",
        parameter="grammage", value=grammage, accepted="75 to 120 g/m², or a thickness",
    )  # fmt: skip
