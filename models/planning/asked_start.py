"""The start that was asked about: each way by the simulation that its timeline is told from."""

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from models.air.series import AirSeries
from models.message import Message
from models.planning import alerts, default_plan
from models.planning.starts import WATCH_H
from models.planning.watch import FROST, OptionRisks
from models.simulation.physics import HORIZON_H
from models.simulation.scenario import OF_THE_AIR, Scenario


@dataclass(frozen=True)
class AskedStart:
    """Chance of frost within the watch, 0 to 1; the coldest corner until it bears a frost, at 10 %
    [degC]; the sure hours of strip and turn, None where they are not in sight."""

    frost_chance: float
    lowest_C: float
    strip: datetime | None
    turn: datetime | None
    young: Message | None  # it bears no frost yet when the watch ends

    def put_into(self, row: OptionRisks, start: datetime) -> OptionRisks:
        """A way with its frost at this start in place of what the sweep says."""
        here = np.array([at == start for at in row.starts.at])
        frost = row.risks[FROST]
        frost = replace(
            frost,
            chance=np.where(here, self.frost_chance, frost.chance),
            value=np.where(here, self.lowest_C, frost.value),
        )
        return replace(row, risks=row.risks | {FROST: frost})


def told(
    scenario: Scenario, air: AirSeries, now: datetime, start: datetime, row: OptionRisks
) -> AskedStart | None:
    """One way at a start of the table; None where it is not watched: too cold to place.

    scenario, air, now : as for pour_check.check
    """
    pour = as_poured(scenario, start, row)
    if pour is None:
        return None
    simulation = default_plan.to_the_turn(pour, air, now, HORIZON_H, WATCH_H)
    if simulation is None:
        return None
    now_h = pour.hour(now)
    strip_h, turn_h = (
        default_plan.sure_h(pour, simulation, step, now_h) for step in ("strip", "turn")
    )
    return AskedStart(
        alerts.coming_frost(simulation, now_h),
        alerts.lowest_young_C(pour, simulation, now_h),
        pour.clock(strip_h),
        pour.clock(turn_h),
        alerts.young_after_watch(pour, simulation, max(now_h, 0.0)),
    )


def as_poured(scenario: Scenario, start: datetime, row: OptionRisks) -> Scenario | None:
    """The pour as it would be logged if it went this way; None where the way is not watched.

    start : one of the starts of the row
    """
    k, option = row.starts.at.index(start), row.option
    if FROST not in row.risks or not row.offered[k] or np.isnan(row.risks[FROST].chance[k]):
        return None
    placement = replace(scenario.placement, at=start)
    if option.warm_water or placement.concrete_C is not None:
        placement = replace(placement, concrete_C=float(row.placed_C[k]))
    if option.heated_before:
        placement = replace(placement, board_C=float(row.base_C[k].round(1)))
    pour = replace(scenario, coverings=option.coverings, done=(), placement=placement)
    room = scenario.rules.indoors
    if not option.indoors or room is None:
        return pour
    outdoors = [one for one in scenario.observations if one.kind in OF_THE_AIR]
    return replace(
        pour,
        site=replace(room, timezone=scenario.site.timezone),
        placement=replace(placement, board_C=None),  # the mould is carried in before
        observations=tuple(one for one in scenario.observations if one not in outdoors),
    )
