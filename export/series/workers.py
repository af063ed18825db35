"""Plates of a series spread over workers, which begin while the first of them is drawn here.

A worker takes seconds to be ready. What was drawn here before lies in a file beside the bound pages, which
each worker reads once: with a plate goes only what tells it from the others.
"""

from __future__ import annotations

import contextlib
from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import BrokenExecutor
from pathlib import Path
from typing import Any, TypeAlias, TypeVar

from shapely import box

from canivet.compose.series.jobs import Job
from canivet.compose.stages import SharedStages, share_stages
from canivet.cutting import Cutting
from canivet.errors import CanivetError
from canivet.export.pdf import pdf_bytes
from canivet.export.svg import piece_svg

from .journal import PAGES

__all__ = ["Crew"]

Record = TypeVar("Record")
Draw: TypeAlias = Callable[[Job, str, Path], Record]

_PAYS = 8
"""Plates for each worker: a process takes as long to be ready as five or six plates take to be drawn."""

_SHARED = "drawn-before"


class Crew:
    """Workers that draw the plates of a series; they begin at once.

    Parameters
    ----------
    plates : int
        How many there are to draw.
    workers : int
        As joblib counts them. Of -1 no more begin than pay for so many plates; any other number is taken as
        it is. On a backend chosen by the caller all that it has are used.

    Attributes
    ----------
    count : int
        How many draw; 1 is this process alone.
    """

    def __init__(self, plates: int, workers: int) -> None:
        from joblib import effective_n_jobs
        from joblib.parallel import get_active_backend

        self.count: int = effective_n_jobs(workers) if plates > 1 else 1
        processes = type(get_active_backend()[0]).__name__ == "LokyBackend"
        if processes and workers == -1:
            self.count = min(self.count, max(1, plates // _PAYS))
        begin = processes and self.count > 1
        self._begun = self._at_work(_be_ready, [()] * self.count) if begin else iter(())

    def __enter__(self) -> Crew:
        return self

    def __exit__(self, *_: object) -> None:
        with contextlib.suppress(BrokenExecutor):  # what it kept from being done has been told
            deque(self._begun, maxlen=0)

    def draw(self, draw: Draw[Record], plates: Sequence[tuple[Job, str]], folder: Path) -> Iterator[Record]:
        """Draw plates and hand over each as it is done; only a few are in memory at a time.

        The first of each size is drawn in this process; what it shares with the others goes to the workers.
        """
        first = {job.size: job.number for job, _ in reversed(plates)}.values()
        here = [plate for plate in plates if self.count == 1 or plate[0].number in first]
        for job, digest in here:
            yield draw(job, digest, folder)
        rest = [plate for plate in plates if self.count > 1 and plate[0].number not in first]
        if not rest:
            return
        try:
            deque(self._begun, maxlen=0)
            with _shared(folder / PAGES / _SHARED) as shared:
                yield from self._at_work(_draw_with, ((shared, draw, *plate, folder) for plate in rest))
        except BrokenExecutor:  # a process was killed from outside
            raise CanivetError(
                "a process that was drawing plates was ended from outside, perhaps because memory ran out. "
                "What is done is kept: the same command goes on where it was, with --workers 1 in less "
                "memory.",
                parameter="workers", value=self.count,
            ) from None  # fmt: skip

    def _at_work(self, work: Callable[..., Any], given: Iterable[Sequence[Any]]) -> Iterator[Any]:
        from joblib import Parallel, delayed

        together = Parallel(n_jobs=self.count, return_as="generator_unordered", batch_size=1)
        done: Iterator[Any] = together(delayed(work)(*one) for one in given)
        return done


@contextlib.contextmanager
def _shared(path: Path) -> Iterator[SharedStages]:
    """Put what was drawn in this process down for as long as workers draw."""
    try:
        yield share_stages(path)
    finally:
        path.unlink(missing_ok=True)


def _be_ready() -> None:
    """Draw a card, which loads all that plates are drawn with; what is missing, the first plate says."""
    card = Cutting(box(0, 0, 90, 60), strap=1, title="Card")
    with contextlib.suppress(CanivetError):
        piece_svg(card)
        pdf_bytes(card)


def _draw_with(shared: SharedStages, draw: Draw[Record], job: Job, digest: str, folder: Path) -> Record:
    """Draw a plate in a worker, after taking what was drawn before."""
    shared.take()
    return draw(job, digest, folder)
