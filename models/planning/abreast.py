"""Pours of many starts side by side under one plan: their heat, and their ice."""

from dataclasses import dataclass

import numpy as np

from models.concrete import frost, heat, maturity
from models.concrete import prior as priors
from models.draws import Draws
from models.planning.starts import WATCH_H, WATCH_ROWS, Starts
from models.simulation import blown, physics, soaked, stays, thermal
from models.simulation import plan as plans
from models.simulation.in_force import NEVER_H, lying, schedule
from models.simulation.scenario import Scenario
from models.units import Array, Index, Mask

FRESH_H = 6  # so long the face is fresh, about


@dataclass(frozen=True)
class Swept:
    """What they go through within the watch; the chance that ice harms each, 0 to 1, and when water
    from outside reaches it [h], (wide,) each."""

    histories: heat.Histories
    harm: Array
    soaked_h: Array


@dataclass(frozen=True)
class Pours:
    """The mix and as it is placed [degC], the air, what it meets [degC], (wide,), and rain [mm/h],
    (rows, wide)."""

    prior: priors.Prior
    placed_C: Array
    exposure: heat.Exposure
    base_C: Array
    rain_mm: Array
    site_K: Array | None

    def only(self, some: Index) -> "Pours":
        """Some of them, by their places."""
        return Pours(
            self.prior.only(some),
            self.placed_C[some],
            stays.exposure_of(self.exposure, some),
            self.base_C[some],
            self.rain_mm[:, some],
            None if self.site_K is None else self.site_K[some],
        )


@dataclass(frozen=True)
class Under:
    """A plan, the ground under it (members,) [degC], and when film is meant [h].

    blown_h : as for in_force.schedule
    """

    plan: Scenario
    ground_C: Array | None
    film_h: float

    def in_force(self, blown_h: tuple[float, float]) -> heat.Schedule:
        return schedule(self.plan, self.ground_C, film_h=self.film_h, blown_h=blown_h)

    def histories(self, pours: Pours, blown_h: tuple[float, float] = NEVER_H) -> heat.Histories:
        """What they go through within the watch."""
        return heat.temperature(
            thermal.column(self.plan),
            self.in_force(blown_h),
            pours.exposure,
            thermal.kinetics(pours.prior),
            pours.placed_C,
            WATCH_H,
            sprint_tau_h=self.plan.resolved().mix.hydration_tau_h,
            board_C=pours.base_C,
        )

    def harmed(
        self, pours: Pours, histories: heat.Histories, blown_h: tuple[float, float] = NEVER_H
    ) -> Swept:
        """Their histories with the harm by ice, by the same count as of a pour that stands."""
        plan, rain_mm = self.plan, pours.rain_mm[: WATCH_ROWS - 1]
        soaked_h = soaked.soaked_h(
            plan, plans.told(plan), histories.hour, rain_mm, self.film_h, blown_h
        )
        around = physics.surroundings(
            plan, self.in_force(blown_h), pours.exposure, pours.site_K, soaked_h
        )
        harm = frost.harm(histories, around, pours.prior, plan.code.frost_MPa)
        return Swept(histories, harm.by[-1], soaked_h)


def swept(plan: Scenario, starts: Starts, many: priors.Prior, placed_C: Array) -> Swept:
    """All starts under one plan; many, placed_C : (wide,) the mix and as it is placed [degC]."""
    site_K = starts.local.site_K
    site_K = None if site_K is None else starts.each(site_K)
    pours = Pours(many, placed_C, starts.exposure, starts.base_C, starts.rain_mm, site_K)
    under = Under(plan, _ground_C(plan, starts), _film_h(starts, many, placed_C))
    histories = under.histories(pours)
    bare = [(some, pours.only(some), (on_h, off_h)) for on_h, off_h, some in _blown(plan, starts)]
    for some, few, blown_h in bare:
        blown.put_into(histories, some, under.histories(few, blown_h))
    whole = under.harmed(pours, histories)
    for some, few, blown_h in bare:
        own = under.harmed(few, heat.Histories(*(one[:, some] for one in histories)), blown_h)
        whole.harm[some], whole.soaked_h[some] = own.harm, own.soaked_h
    return whole


def _blown(plan: Scenario, starts: Starts) -> list[tuple[float, float, Index]]:
    """As blown.spells, of every member at every start, (wide,)."""
    row = starts.rows + np.arange(WATCH_ROWS)[:, None]

    def nobody_there() -> Mask:
        return np.repeat(starts.off_hours[row], starts.members, axis=1)

    luck = starts.each(Draws(starts.members).even("failure"))
    return blown.spells(lying(plan, plans.told(plan)), starts.wind_m_s, nobody_there, luck)


def _ground_C(plan: Scenario, starts: Starts) -> Array | None:
    given_C = plan.placement.board_C
    return thermal.ground_C(starts.local, starts.requested_row, given_C) if plan.on_ground else None


def _film_h(starts: Starts, many: priors.Prior, placed_C: Array) -> float:
    """Hour at which film is meant [h]: when the face bears it, midway between the concrete as
    placed and the air."""
    rate = maturity.rate(
        np.clip(0.5 * (placed_C + starts.air_C[:FRESH_H].mean(axis=0)), -40.0, 80.0),
        activation_energy_kJ_mol=many.activation_energy_kJ_mol,
        rise_kJ_mol_K=many.rise_kJ_mol_K,
    )
    return float(np.median(many.initial_set_h / np.maximum(rate, 1e-3)))
