"""Words that are set, put among the openings of a plate."""

from __future__ import annotations

from shapely.geometry import Polygon

from canivet.compose.openings import Openings

from .lettering import PlacedLettering

__all__ = ["add_lettering"]


def add_lettering(
    openings: Openings, placed: PlacedLettering, *, smallest: float, role: str = "lettering-1"
) -> Openings:
    """Put lettering among the openings of a plate: its panel and rim are cleared of them, its own are added.

    Parameters
    ----------
    openings : Openings
        What the plate has cut away so far.
    placed : PlacedLettering
    smallest : float
        What is left of an opening beside the panel is rounded by this radius (mm), and dropped if too small.
    role : str
        What its own openings are to belong to.

    Returns
    -------
    Openings

    Examples
    --------
    >>> import shapely
    >>> from shapely import box
    >>> from canivet.compose.words.lettering import place_lettering
    >>> name = place_lettering(box(20, 10, 80, 28), "Zoë", strap=1.2, smallest=0.5)
    >>> among = add_lettering(Openings.of([box(10, 20, 90, 60)], "window"), name, smallest=0.5)
    >>> among.roles.tolist().count("lettering-1") == len(name.openings)
    True
    >>> shapely.union_all(among.areas).intersection(name.paper).area < 1e-6
    True
    """
    ground = Polygon(placed.paper.exterior)
    return openings.without(ground, smallest=smallest, exactly=True).and_of(placed.openings, role)
