"""What lies on a piece, what it lies in, and when that changes."""

import numpy as np

from models.concrete import heat
from models.concrete.section import Covering
from models.facts.materials import BOARDS, SIDE_FORM_M2K_W
from models.facts.protection import COVERS
from models.simulation import blown
from models.simulation import plan as plans
from models.simulation.plan import Plan
from models.simulation.scenario import Scenario
from models.units import Array

NEVER_H = (np.inf, np.inf)


def schedule(
    scenario: Scenario,
    ground: Array | None = None,
    plan: Plan | None = None,
    film_h: float = np.inf,
    blown_h: tuple[float, float] = NEVER_H,
) -> heat.Schedule:
    """Covers, mould and enclosure as they stand from each hour on; ground (members,) [degC].

    film_h : when film goes on a face of which nothing else is told or meant [h]
    plan : what is done when; not told: what was logged
    blown_h : [h] from when to when the wind has taken what lies there
    """
    plan = plans.told(scenario) if plan is None else plan
    covered_h = plan.hours.get("cover", film_h)
    strip_h, bare_h, off_h = (plan.hour(step) for step in ("strip", "end-wet-cure", "uncover"))
    coverings = (*scenario.coverings, *plan.covers)
    hours = {0.0, covered_h, strip_h, bare_h, off_h, *blown_h}
    for covering in coverings:
        hours |= {covering.from_h, covering.until_h}
    from_h = np.array(sorted(h for h in hours if 0 <= h < 1e6))
    board = BOARDS[scenario.mould.material]
    board_R = scenario.mould.thickness_mm / 1e3 / board.k_W_mK
    if ground is not None:
        board_R = SIDE_FORM_M2K_W
    upright = scenario.shape.like == "box"  # its faces stand between boards, not under a film

    def in_force(hour: float) -> tuple[float, ...]:
        """R_top, R_bottom, R_side, board, side boards, wet, top and bottom fixed."""
        active = [g for g in coverings if g.from_h <= hour < covered_until(g, off_h)]
        active = [] if blown_h[0] <= hour < blown_h[1] else active
        R = sum(g.resistance_m2K_W for g in active)
        around = sum(g.resistance_m2K_W for g in active if g.reach != "top")
        under = sum(g.resistance_m2K_W for g in active if g.reach == "all")
        sealed = any(COVERS[g.kind].sealed for g in active)
        film, mould_on = covered_h <= hour < bare_h, hour < strip_h
        fixed_C = [g.setpoint_C if g.read_C is None else g.read_C for g in active if g.heats]
        fixed = (fixed_C or [np.nan])[-1]
        assert fixed is not None
        top = around if upright else R  # the walls of a box stand under what lies on its rim
        top += COVERS["film"].R_m2K_W if film and not active else 0.0
        wet = 0.0 if sealed or film or hour >= bare_h else 1.0
        side = (R if upright else around) + (board_R if mould_on else 0.0)
        boards = (float(mould_on), float(mould_on and not upright))
        return top, under, side, *boards, wet, fixed, fixed

    columns = np.array([in_force(hour) for hour in from_h]).T
    if ground is not None:  # it stays when the forms go, and no enclosure warms it from below
        columns[1], columns[3], columns[7] = 0.0, 1.0, float(ground.mean())
    if upright:
        boarded = from_h < strip_h
        columns[0] += board_R * boarded
        columns[5] *= ~boarded
    return heat.Schedule(from_h, *columns)


def covered_until(covering: Covering, off_h: float) -> float:
    """Hour at which a cover comes off [h]: its own end, or when all that lies there is taken off.

    off_h : hour of taking all of them off [h], infinite: none
    """
    return min(covering.until_h, off_h) if covering.from_h < off_h else covering.until_h


def lying(scenario: Scenario, plan: Plan) -> list[blown.Lying]:
    """The covers of a pour with the hours from placing at which each is on and off [h]."""
    off_h = plan.hour("uncover")
    covers = (*scenario.coverings, *plan.covers)
    return [(one.kind, one.from_h, covered_until(one, off_h)) for one in covers]
