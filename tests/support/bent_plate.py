"""A flat piece with an opening as a thin plate by finite elements (Morley's triangle): the moments
under its own weight, per weight on the area, held on lines."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from skfem import Basis, BilinearForm, ElementTriMorley, LinearForm, MeshTri, condense, solve
from skfem.helpers import dd, ddot, eye, trace

from models.facts.handling import POISSON
from models.units import Array

Hole = tuple[float, float, float, float]  # from x to x, from y to y [mm]


@dataclass(frozen=True)
class Bent:
    """Moments of the triangles [mm2 a unit of weight on the area], where their middles lie and how
    large they are [mm, mm2]."""

    x: Array
    y: Array
    area: Array
    along: Array
    across: Array
    twist: Array
    hole: Hole
    step_mm: float

    def section(self) -> float:
        """Greatest mean moment along the length of a ligament beside the opening."""
        x0, x1, low, high = self.hole
        found = []
        for a, b in zip(*_cuts(x0, x1), strict=True):
            for side in (self.y < low, self.y > high):
                part = side & (self.x > a) & (self.x < b)
                if part.any():
                    found.append(abs(self.along[part] @ self.area[part] / self.area[part].sum()))
        return float(max(found))

    def corner(self, evened_mm: float) -> float:
        """Greatest principal moment, evened over a depth beside the opening's corners."""
        mean, half = (self.along + self.across) / 2, (self.along - self.across) / 2
        radius = np.hypot(half, self.twist)
        worst = np.maximum(np.abs(mean + radius), np.abs(mean - radius))
        x0, x1, low, high = self.hole
        found = []
        for end in (x0, x1):
            for edge, out in ((low, -1), (high, 1)):
                depth = (self.y - edge) * out
                part = (np.abs(self.x - end) < evened_mm / 2) & (depth > 0) & (depth < evened_mm)
                found.append(worst[part] @ self.area[part] / self.area[part].sum())
        return float(max(found))


def _cuts(x0: float, x1: float) -> tuple[Array, Array]:
    """Columns of triangles between the ends of the opening."""
    width = (x1 - x0) / max(4.0, (x1 - x0) // 40.0)
    begins = np.arange(x0, x1 - 1e-9, width)
    return begins, begins + width


def bent(
    length_mm: float,
    width_mm: float,
    hole: Hole,
    held_mm: Sequence[float],
    fine_mm: float,
    stuck_mm: float = 0.0,
    pull: float = 0.0,
) -> Bent:
    """A plate that rests on lines across it, at some places of its length [mm]; beyond `stuck_mm`
    its mould pulls at it with so many times its weight."""
    xs = _graded([0.0, length_mm, *held_mm, *hole[:2]], hole[:2], fine_mm)
    ys = _graded([0.0, width_mm, *hole[2:]], hole[2:], fine_mm)
    mesh = MeshTri.init_tensor(xs, ys)
    x, y = mesh.p[:, mesh.t].mean(axis=1)
    gone = (x > hole[0]) & (x < hole[1]) & (y > hole[2]) & (y < hole[3])
    mesh = mesh.restrict(np.flatnonzero(~gone))
    basis = Basis(mesh, ElementTriMorley(), intorder=2)

    def bend(u, v, _):  # type: ignore[no-untyped-def]
        curve = dd(u)
        return ddot((1 - POISSON) * curve + POISSON * eye(trace(curve), 2), dd(v))

    stiff = BilinearForm(bend).assemble(basis)
    load = LinearForm(lambda v, w: (1.0 + pull * (w.x[0] > stuck_mm)) * v).assemble(basis)
    on = np.isclose(mesh.p[0][:, None], np.asarray(held_mm)[None, :]).any(axis=1)
    deflection = solve(*condense(stiff, load, D=basis.nodal_dofs[0, on]))
    curve = basis.interpolate(deflection).hess.mean(axis=-1)
    x, y = mesh.p[:, mesh.t].mean(axis=1)
    a, b, c = (mesh.p[:, mesh.t[k]] for k in range(3))
    area = np.abs((b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])) / 2
    return Bent(
        x,
        y,
        area,
        -(curve[0, 0] + POISSON * curve[1, 1]),
        -(curve[1, 1] + POISSON * curve[0, 0]),
        -(1 - POISSON) * curve[0, 1],
        hole,
        fine_mm,
    )


def _graded(marks: Sequence[float], fine_at: Sequence[float], fine_mm: float) -> Array:
    """Places from mark to mark, close together beside the opening's edges."""
    ends = sorted(set(marks))
    out = [ends[0]]
    for begin, end in zip(ends[:-1], ends[1:], strict=True):
        steps, at = [0.0], begin
        while at < end - 1e-9:
            near = min(abs(at - one) for one in fine_at)
            to_end = min(abs(end - one) for one in fine_at)
            ahead = max(to_end - (end - at), 0.0) if to_end < near else near
            step = min(fine_mm + 0.3 * min(near, max(to_end, ahead)), 4 * fine_mm)
            at += step
            steps.append(at - begin)
        scale = (end - begin) / steps[-1]
        out += [begin + scale * one for one in steps[1:]]
    return np.array(out)
