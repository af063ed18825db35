"""Words cut in a wedge: they open in every leaf, the right way round in one and mirrored in the next."""

from __future__ import annotations

from functools import partial

from shapely import affinity
from shapely.geometry import Polygon

from canivet.errors import DoesNotFit
from canivet.motifs.folding.fold import Fold
from canivet.motifs.lettering.cut_out import cut_letters
from canivet.motifs.lettering.fit import fit_lettering, fit_what_holds

__all__ = ["letter_wedge"]


def letter_wedge(
    fold: Fold,
    text: str,
    *,
    strap: float,
    smallest: float,
    rim: float,
    mirrored: bool = False,
    least: float = 4.0,
    most: float = 40.0,
) -> list[Polygon]:
    """Words cut out of the wedge, as large as it has room for, their counters bridged.

    Parameters
    ----------
    fold : Fold
        Its wedge carries the words.
    text : str
        1 to 120 characters.
    strap, smallest : float
        The narrowest paper left and the radius of the smallest opening, mm.
    rim : float
        Paper kept from every edge of the wedge, mm.
    mirrored : bool
        Mirror the words in the wedge, so that they read in the leaves that open turned over.
    least, most : float
        Height of capitals, mm.

    Returns
    -------
    list of Polygon
        Openings, clear of the wedge's edges.

    Raises
    ------
    DoesNotFit
        If the words do not fit at `least`.

    Examples
    --------
    >>> from canivet.motifs.folding.folds import mirror_fold
    >>> fold = mirror_fold(width=160, height=60)
    >>> plain = letter_wedge(fold, "Noa", strap=1.5, smallest=0.5, rim=3)
    >>> all(fold.wedge.contains(opening) for opening in plain)
    True
    """
    room = fold.wedge.buffer(-max(rim, strap), join_style="mitre")
    if room.is_empty or not isinstance(room, Polygon):
        raise DoesNotFit(
            f"rim is {rim:g} mm; it leaves no room for words in the wedge. Make the sheet larger.",
            parameter="rim", value=rim,
        )  # fmt: skip
    x = room.centroid.x
    panel = _turned_over(room, x) if mirrored else room
    fit = partial(fit_lettering, text, panel, least=least, lines=3, margin=0.01, gap=strap + 0.01)
    _, cut = fit_what_holds(fit, partial(cut_letters, panel, strap=strap, smallest=smallest), most)
    return [_turned_over(opening, x) if mirrored else opening for opening in cut.openings]


def _turned_over(shape: Polygon, x: float) -> Polygon:
    turned: Polygon = affinity.scale(shape, -1, 1, origin=(x, 0))
    return turned
