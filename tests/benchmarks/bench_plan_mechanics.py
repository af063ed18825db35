"""Does the order help by mechanics too? A plane-stress model of the sheet while it is cut, plan against reading order.

The sheet is a grid of square elements, held where the handle outside the outline is. What has been cut is taken out
of it, opening by opening; before each is cut, a unit pull is spread over its edge, and what the edge gives (its
compliance) is measured, up and across. Paper is taken as one elastic sheet, Poisson's ratio 0.3, stiffness 1: only
ratios mean anything. The grid is coarse, one or two elements to a strap.

Run by hand: ``python tests/benchmarks/bench_plan_mechanics.py``. It takes some minutes.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import shapely
from scipy.sparse import csc_matrix
from scipy.sparse.linalg import splu
from shapely.geometry import Polygon
from skfem import Basis, BilinearForm, ElementQuad1, ElementVector, MeshQuad
from skfem.helpers import ddot, eye, sym_grad, trace

from canivet.compose.planning.ordering.order import best_order, plan_order
from canivet.compose.planning.plan import plan_cutting
from canivet.compose.reading.silhouette import read_silhouette

GALLERY = Path(__file__).parents[2] / "gallery"
SIDE = 1.0
"""mm of an element."""

GONE = 1e-6
"""Stiffness of what is cut away, against paper."""

POISSON = 0.3
EVERY = 2
"""Only each second opening is pulled at; all are cut."""


class Sheet:
    """The piece as a grid: which opening each element lies in, and the stiffness of each."""

    def __init__(self, paper: Polygon) -> None:
        x0, y0, x1, y1 = paper.bounds
        self.mesh = MeshQuad.init_tensor(
            np.arange(x0 - SIDE, x1 + 2 * SIDE, SIDE), np.arange(y0 - SIDE, y1 + 2 * SIDE, SIDE)
        )
        self.basis = Basis(self.mesh, ElementVector(ElementQuad1()))
        middles = self.mesh.p[:, self.mesh.t].mean(axis=1)
        solid = np.array([Polygon(ring) for ring in paper.interiors])
        element, opening = shapely.STRtree(solid).query(shapely.points(middles.T), "within")
        self.opening = np.full(len(middles.T), -1)
        self.opening[element] = opening
        inside = shapely.contains_xy(Polygon(paper.exterior), *middles)
        outer = np.unique(self.mesh.t[:, ~inside])
        self.free = np.setdiff1d(np.arange(self.basis.N), self.basis.nodal_dofs[:, outer].ravel())
        data = stretching.elemental(self.basis)
        self.local = data.data if hasattr(data, "data") else data
        self.rows, self.columns = data.indices
        self.each = self.local.reshape(-1, self.mesh.t.shape[1])

    def compliances(self, order: np.ndarray) -> np.ndarray:
        """Return what the edge of each opening gives to a unit pull just before it is cut, in their order."""
        stiffness = np.ones(self.mesh.t.shape[1])
        found = []
        for turn, opening in enumerate(order):
            mine = self.opening == opening
            if turn % EVERY == 0 and mine.any():
                found.append(self._given(stiffness, mine))
            stiffness[mine] = GONE
        return np.array(found)

    def _given(self, stiffness: np.ndarray, mine: np.ndarray) -> float:
        whole = csc_matrix(
            ((self.each * stiffness).ravel(), (self.rows, self.columns)), shape=(self.basis.N,) * 2
        )
        # Symmetric and definite: no pivoting, and the ordering that suits it.
        solve = splu(
            whole[self.free][:, self.free], permc_spec="MMD_AT_PLUS_A", diag_pivot_thresh=0,
            options={"SymmetricMode": True},
        )  # fmt: skip
        edge = np.setdiff1d(np.unique(self.mesh.t[:, mine]), self._within(mine))
        total = 0.0
        for axis in (0, 1):
            pull = np.zeros(self.basis.N)
            pull[self.basis.nodal_dofs[axis, edge]] = 1 / len(edge)
            total += float(pull[self.free] @ solve.solve(pull[self.free]))
        return total / 2

    def _within(self, mine: np.ndarray) -> np.ndarray:
        """Nodes whose elements all lie in the opening."""
        return np.setdiff1d(np.unique(self.mesh.t[:, mine]), np.unique(self.mesh.t[:, ~mine]))


@BilinearForm
def stretching(u, v, _):
    strain, other = sym_grad(u), sym_grad(v)
    stress = (strain * (1 - POISSON) + POISSON * eye(trace(strain), 2)) / (1 - POISSON**2)
    return ddot(stress, other)


def main() -> None:
    print(f"{'piece':>12} {'order':>10} {'mean':>8} {'worst':>8} {'worst tenth':>12}  (reading order = 1)")
    for name in ("marigold", "night-moth"):
        (paper,) = shapely.get_parts(read_silhouette(GALLERY / f"folded/{name}.svg").area)
        plan = plan_cutting(paper, strap=1.5)
        sheet = Sheet(paper)
        at = np.array([one.at for one in plan.openings])
        ring = np.array([one.ring for one in plan.openings])
        area, delicacy = (np.array([getattr(o, n) for o in plan.openings]) for n in ("area", "delicacy"))
        plain = np.sqrt(1 / area)
        orders = {
            "reading": np.lexsort((at[:, 0], -(at[:, 1] / 10).round())),
            "plan": np.arange(len(at)),
            "best": best_order(area, delicacy),
            "by area": plan_order(at, area, plain, reach=15).rows,
        }
        base: np.ndarray | None = None
        for label, order in orders.items():
            given = sheet.compliances(ring[order])
            worst = np.sort(given)[-max(1, len(given) // 10) :].mean()
            figures = np.array([given.mean(), given.max(), worst])
            base = figures if base is None else base
            print(f"{name:>12} {label:>10} " + " ".join(f"{f:>8.3f}" for f in figures / base), flush=True)


if __name__ == "__main__":
    main()
