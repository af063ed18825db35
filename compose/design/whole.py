"""The whole design: what a plate, each of its layers, and the finished piece are made of."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field, InstanceOf, PlainValidator, WithJsonSchema

from canivet.compose.planning.settings import PlanSettings
from canivet.motifs.registry import Family

from .border_table import LaidBorder
from .finishing import MountSettings, PatchSettings, PriceSettings
from .fit import FitSettings
from .folding import FoldSettings
from .motif_table import UsedMotif
from .tables import (
    JoinSettings,
    LetteringSettings,
    LineSettings,
    PaperSettings,
    PlacedSilhouette,
    RepairSettings,
    SeriesSettings,
    SheetSettings,
    VignetteSettings,
)
from .values.reading import NotNegative, Positive, Sizes, Table

__all__ = ["FRAMED", "MOTIF_TABLES", "OWN", "RIM", "Design", "Layer"]

RIM = 2.5
"""mm kept along the outline, where nothing is said and straps are no wider."""


class Design(Table):
    """A whole design, read and checked. Lengths are mm.

    Attributes
    ----------
    size : tuple of (width, height)
        Every size it is to be drawn at.
    strap : float
        The narrowest paper left anywhere.
    rim : float
        The paper kept along the outline where there is no border.
    smallest_opening : float
        Radius of the disc that must fit into every opening.
    slip : float
        How far the hand may stray and the piece still hold.
    """

    title: str = Field(min_length=1, max_length=300)
    description: str = Field(default="", max_length=2000)
    size: Sizes
    fit: FitSettings | None = None
    strap: Positive = 1.2
    rim: Positive = RIM
    smallest_opening: Positive = 0.5
    slip: NotNegative = 0.0
    paper: PaperSettings = PaperSettings()
    sheet: SheetSettings = SheetSettings()
    frame: UsedMotif | None = None
    outline: UsedMotif
    border: LaidBorder | None = None
    ground: UsedMotif | None = None
    vignette: VignetteSettings | None = None
    symmetry: Literal["", "mirror", "quarter"] = ""
    silhouette: tuple[PlacedSilhouette, ...] = ()
    lettering: tuple[LetteringSettings, ...] = ()
    series: SeriesSettings | None = None
    lines: LineSettings = LineSettings()
    join: JoinSettings = JoinSettings()
    repair: RepairSettings = RepairSettings()
    plan: InstanceOf[PlanSettings] = PlanSettings()
    fold: InstanceOf[FoldSettings] | None = None
    patch: tuple[PatchSettings, ...] = ()
    layer: Annotated[tuple[Layer, ...], PlainValidator(tuple), WithJsonSchema({"type": "array"})] = ()
    mount: MountSettings | None = None
    price: PriceSettings | None = None
    folder: Path = Path()
    source: Path | None = None

    @property
    def files(self) -> tuple[Path, ...]:
        """Return every file that is read to draw it: itself, its list, its drawings and faces."""
        named = [self.series.list] if self.series else []
        named += [placed.file for placed in self.silhouette if placed.file]
        named += [words.face_file for words in self.lettering if words.face_file]
        named += [self.sheet.face] if self.sheet.face else []
        named += self.fold.files if self.fold else ()
        named += [patch.file for patch in self.patch if patch.file]
        named += (
            [self.mount.ground.file] if self.mount and self.mount.ground and self.mount.ground.file else []
        )
        layered = [path for layer in self.layer for path in layer.design.files]
        own = [] if self.source is None else [self.source]
        return tuple(dict.fromkeys([*own, *(self.folder / name for name in named), *layered]))

    @property
    def texts(self) -> dict[str, str]:
        """Return what the maker wrote in words, by its place."""
        return {
            "title": self.title,
            "description": self.description,
            **{f"lettering.{k}.text": words.text for k, words in enumerate(self.lettering, start=1)},
            **{f"silhouette.{k}.file": placed.file for k, placed in enumerate(self.silhouette, start=1)},
            **({} if self.fold is None else {f"fold.{name}": text for name, text in self.fold.texts.items()}),
        }

    @property
    def needed(self) -> float:
        """Return the width to draw straps at: the strap, and a slip on either side."""
        return self.strap + 2 * self.slip

    @property
    def laid_in_order(self) -> tuple[tuple[Literal["silhouette", "lettering"], int], ...]:
        """Return silhouettes and words as places in their lists, in the order they are laid, the front last.

        Words stand in front of every silhouette where nothing else is said.
        """
        front = max((s.order or 0 for s in self.silhouette), default=0) + len(self.silhouette) + 1
        order: dict[tuple[Literal["silhouette", "lettering"], int], int] = {
            ("silhouette", k): k if s.order is None else s.order for k, s in enumerate(self.silhouette)
        }
        order |= {
            ("lettering", k): front + k if words.order is None else words.order
            for k, words in enumerate(self.lettering)
        }
        return tuple(sorted(order, key=order.__getitem__))

    @property
    def promised(self) -> dict[str, float]:
        """Return what every motif of the plate is told: the width of straps, and the smallest opening."""
        return {"strap": self.needed, "smallest": self.smallest_opening}


@dataclass(frozen=True, slots=True)
class Layer:
    """A further cut sheet: a design of its own, its colour, whether it lies behind, how far off (mm)."""

    design: Design
    colour: str
    behind: bool = True
    gap: float = 0.0


Design.model_rebuild()

MOTIF_TABLES: dict[str, Family] = {
    "frame": "frame", "outline": "outline", "border": "border", "ground": "lattice",
}  # fmt: skip
OWN = {"folder", "source"}
"""What a design knows of itself, and no key of its file."""

FRAMED = ("outline", "border", "ground", "vignette", "rim")
"""What a frame brings along."""
