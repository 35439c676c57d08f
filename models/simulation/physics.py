"""From a scenario and the air to what every member of the concrete goes through."""

from dataclasses import dataclass, replace
from datetime import datetime

import numpy as np

from models.air import place, psychrometrics, sky
from models.air.series import AirSeries
from models.concrete import frost, heat, strength
from models.concrete import prior as priors
from models.concrete.section import Covering
from models.errors import Unknown
from models.facts.materials import BOARDS, CONCRETE, EMISSIVITY, GROUND_DEPTH_MM, SIDE_FORM_M2K_W
from models.facts.protection import COVERS
from models.message import Message
from models.rng import stream
from models.simulation import calibrate, enclosure, fresh_face, weather
from models.simulation import plan as plans
from models.simulation.plan import Plan
from models.simulation.scenario import Scenario
from models.steps import place as placing
from models.steps.dry import Drying
from models.steps.opening import Trajectory
from models.units import Array

MEMBERS = 64
HORIZON_H = 28 * 24 + 24  # how far a pour is looked at
MEMBERS_WITH_EVIDENCE = 256  # weighting by readings leaves enough of these
# measured; of bags and water that were measured (their masses are not); guessed from the air
PLACED_SD_K, PLACED_MIXED_SD_K, PLACED_GUESS_SD_K = 0.5, 1.0, 2.0  # OWN_JUDGEMENT
FROZEN_FRACTION = 0.5


@dataclass(frozen=True)
class Simulation:
    """The trajectory of all members with what the words need beside it."""

    trajectory: Trajectory
    prior: priors.Prior
    plan: Plan  # what is done to it, and when
    known_h: float  # last hour from placing that stands on weather
    truncated: bool  # the weather stops in the past: later steps cannot be judged
    evaporation_kg_m2h: float  # 90 % of members, worst of the first hours
    notes: tuple[Message, ...]
    no_moisture: Message | None = None  # why nothing that hangs on moisture can be judged
    drying: Drying | None = None  # filled by simulation.drying; what-ifs do without
    odd: tuple[calibrate.Contradiction, ...] = ()  # readings that contradict what was predicted

    def frozen_by(self, hour: float) -> float:
        """Chance that it froze before its frost strength, up to an hour from placing, 0 to 1."""
        return float(self.trajectory.weight[self.trajectory.frozen_h <= hour].sum())

    def counts_as_frozen(self, hour: float) -> bool:
        """From even odds on, until a reading says otherwise."""
        return self.frozen_by(hour) >= FROZEN_FRACTION


@dataclass(frozen=True)
class Members:
    """The members of a pour before anything is done to it: the air at the piece on the rows of a
    trajectory, the mix, the concrete as placed [degC]; every plan is compared on the same ones."""

    scenario: Scenario  # with its tents as warm as they were read
    prior: priors.Prior
    placed_C: Array
    board_C: Array | None
    ground_C: Array | None
    exposure: heat.Exposure
    air: dict[str, Array]
    rows: int
    known_h: float
    truncated: bool
    notes: tuple[Message, ...]
    odd: tuple[calibrate.Contradiction, ...]
    no_moisture: Message | None


def simulate(
    scenario: Scenario,
    air: AirSeries,
    now: datetime,
    hours: int,
    count: int | None = None,
    plan: Plan | None = None,
) -> Simulation | Unknown:
    """Temperature, maturity and strength of every member, hourly from placing.

    hours : how far to look from placing [h]
    count : members; more are taken when there are readings to weigh them by
    plan : what is done to it and when; not told: what was logged, and nothing else

    Returns Unknown where the weather at placing is missing.
    """
    members = drawn(scenario, air, now, hours, count)
    if isinstance(members, Unknown):
        return members
    return under(members, plans.told(scenario) if plan is None else plan)


def drawn(
    scenario: Scenario, air: AirSeries, now: datetime, hours: int, count: int | None = None
) -> Members | Unknown:
    """The members of a pour, as for `simulate`."""
    scenario, tent_notes = enclosure.as_read(scenario)
    usable = weather.usable(scenario, air, now, hours)
    if isinstance(usable, Unknown):
        return usable
    series, forecast_hours, truncated, notes = usable
    before_h = series.hour_of(scenario.placement.at)
    rows = int(min(hours, np.floor(series.hours - 1 - before_h)))
    many = count or (MEMBERS_WITH_EVIDENCE if calibrate.weighing(scenario) else MEMBERS)

    _, local, odd = calibrate.air_at_piece(
        scenario.site, scenario.observations, series, many, forecast_hours, sky_view(scenario)
    )
    local = place.measured(local, scenario.placement.measures, int(before_h))
    water_factor = _water_factor(scenario)
    prior = priors.draw(scenario.mixture, many, stream("mix"), water_factor=water_factor)
    board = scenario.placement.board_C
    ground = ground_C(local, int(before_h), board) if scenario.on_ground else None
    return Members(
        scenario,
        prior,
        _placed(scenario, local, before_h, many),
        np.full(many, board) if ground is None and board is not None else ground,
        ground,
        exposure(local, before_h),
        _rows_of(local, before_h, rows),
        rows,
        forecast_hours - 1 - before_h,
        truncated,
        (*notes, *tent_notes),
        odd,
        weather.moisture_missing(scenario, air, now),
    )


def under(members: Members, plan: Plan, hours: int | None = None) -> Simulation:
    """What the members go through under a plan, hourly from placing.

    hours : [h] looked at, no more than they were drawn for; not told: all of them
    """
    scenario, prior, placed = members.scenario, members.prior, members.placed_C
    rows = members.rows if hours is None else min(hours, members.rows)
    many = len(placed)
    histories = heat.temperature(
        column(scenario),
        schedule(scenario, members.ground_C, plan),
        members.exposure,
        kinetics(prior),
        placed,
        rows,
        sprint_tau_h=scenario.resolved().mix.hydration_tau_h,
        board_C=members.board_C,
    )
    histories, odd = calibrate.after_concrete_readings(
        scenario, histories, prior, stream("concrete readings")
    )
    odd = (*members.odd, *odd)
    strong = prior.strength_at(histories.te_cold_h)
    mean = prior.strength_at(histories.te_mean_h)
    frozen = frost.frozen_at(histories.hour, histories.coldest_C, strong)
    trajectory = Trajectory(
        hour=histories.hour,
        weight=np.full(many, 1 / many),
        strength_MPa=frost.after_frost(histories.hour, strong, frozen),
        strength_mean_MPa=frost.after_frost(histories.hour, mean, frozen),
        te_mean_h=histories.te_mean_h,
        te_cold_h=histories.te_cold_h,
        mean_C=histories.mean_C,
        top_C=histories.top_C,
        coldest_C=histories.coldest_C,
        **{name: values[: rows + 1] for name, values in members.air.items()},
        initial_set_h=prior.initial_set_h,
        final_set_h=prior.final_set_h,
        frozen_h=frozen,
        named_28d_MPa=prior.named_28d_MPa,
        forecast_rows=int(min(rows + 1, max(0, members.known_h + 1))),
    )
    weight, weight_notes = calibrate.weights(scenario, trajectory)
    trajectory = replace(trajectory, weight=weight)
    return Simulation(
        trajectory,
        prior,
        plan,
        members.known_h,
        members.truncated,
        fresh_face.evaporation_at_90(scenario, trajectory),
        (*members.notes, *calibrate.messages(odd), *weight_notes),
        members.no_moisture,
        odd=odd,
    )


def _water_factor(scenario: Scenario) -> float:
    """Strength left after water over the label, from litres in the whole piece."""
    added = min(scenario.added_water_cement, 1.0)
    if added <= 0:
        return 1.0
    return float(strength.added_water_factor(scenario.resolved().mix.water_cement, added))


def _placed(scenario: Scenario, local: place.AtPiece, before_h: float, many: int) -> Array:
    z = np.random.default_rng(stream("placing temperature")).standard_normal(many)
    measured_C = scenario.placement.concrete_C
    likely = as_mixed(scenario, local.air_C[int(before_h)]) if measured_C is None else measured_C
    return np.clip(likely + placed_sd_K(scenario) * z, 0.5, 55.0)


def as_mixed(scenario: Scenario, air_C: Array) -> Array:
    """Concrete as placed out of the bags and the water that were told, else as warm as the air."""
    placement = scenario.placement
    if placement.bag_C is None and placement.water_C is None:
        return air_C
    return placing.mixed_C(np.clip(air_C, -60.0, 60.0), placement.bag_C, placement.water_C)


def placed_sd_K(scenario: Scenario) -> float:
    """Doubt of the concrete as placed [K]: measured, mixed of what was told, or guessed."""
    placement = scenario.placement
    if placement.concrete_C is not None:
        return PLACED_SD_K
    guessed = [placement.bag_C is None, placement.water_C is None]
    if all(guessed):
        return PLACED_GUESS_SD_K
    untold = float(np.dot(guessed, (placing.BAG_FRACTION, 1 - placing.BAG_FRACTION)))
    return float(np.hypot(PLACED_MIXED_SD_K, PLACED_GUESS_SD_K * untold))


def sky_view(scenario: Scenario) -> float:
    """Fraction of the sky its faces see: a box stands, everything else lies."""
    return 0.5 if scenario.shape.kind == "box" else 1.0


def column(scenario: Scenario) -> heat.Column:
    """The section on its board."""
    depth = GROUND_DEPTH_MM if scenario.on_ground else scenario.mould.thickness_mm
    return heat.Column(
        scenario.shape.section_mm,
        depth,
        BOARDS[scenario.mould.material],
        CONCRETE.k_W_mK,
        scenario.mixture.density_kg_m3 * CONCRETE.c_J_kgK,
    )


def ground_C(local: place.AtPiece, row: int, given_C: float | None = None) -> Array:
    """Ground under a piece, (members,) [degC]: as told, else mean air of the three days before.

    Source: OWN_JUDGEMENT (the daily wave is a fifth at 0.3 m, CRANK_1975 for the depth).
    """
    if given_C is not None:
        return np.full(local.air_C.shape[1], given_C)
    return np.asarray(local.air_C[max(0, row - weather.SPIN_UP_H) : row + 1].mean(axis=0))


def kinetics(prior: priors.Prior) -> heat.Kinetics:
    """Heat and rate law of the members of a mix."""
    return heat.Kinetics(
        prior.cement_kg_m3 * prior.heat_kJ_kg * 1e3,
        prior.tau_h,
        prior.beta,
        prior.activation_energy_kJ_mol,
        prior.rise_kJ_mol_K,
    )


def exposure(local: place.AtPiece, before_h: float) -> heat.Exposure:
    """What a piece feels of the air at its place; row 0 is before_h hours before placing."""
    radiation = sky.radiative_coefficient(local.air_C, EMISSIVITY)
    convection = sky.convection(local.wind_m_s)
    film = convection + radiation
    low = sky.convection(0.5 * local.wind_m_s) + radiation
    return heat.Exposure(
        before_h,
        film,
        low,
        convection,
        place.sol_air(local, film, "concrete"),
        local.air_C,
        psychrometrics.saturation_pressure(local.dew_point_C),
    )


def _rows_of(local: place.AtPiece, before_h: float, rows: int) -> dict[str, Array]:
    """The air at the piece on the rows of the trajectory (linear between whole hours)."""
    first = int(before_h)
    fraction, hours = before_h - first, slice(first, first + rows + 1)

    def at(values: Array) -> Array:
        if fraction == 0:
            return values[hours]
        after = values[first + 1 : first + rows + 2]
        return values[hours] * (1 - fraction) + after * fraction

    return {
        "air_C": at(local.air_C),
        "dew_point_C": at(local.dew_point_C),
        "rh": at(place.relative_humidity(local)),
        "wind_m_s": at(local.wind_m_s),
        "rain_mm": local.rain_mm[hours],
        "sun_W_m2": local.sun_W_m2[hours],
    }


def schedule(
    scenario: Scenario, ground: Array | None = None, plan: Plan | None = None
) -> heat.Schedule:
    """Covers, mould and enclosure as they stand from each hour on; ground (members,) [degC].

    plan : what is done when; not told: what was logged
    """
    plan = plans.told(scenario) if plan is None else plan
    covered_h = plan.hours.get("cover", fresh_face.covered_h(scenario))
    strip_h, bare_h, off_h = (plan.hour(step) for step in ("strip", "end-wet-cure", "uncover"))
    coverings = (*scenario.coverings, *plan.covers)
    hours = {0.0, covered_h, strip_h, bare_h, off_h}
    for covering in coverings:
        hours |= {covering.from_h, covering.until_h}
    from_h = np.array(sorted(h for h in hours if 0 <= h < 1e6))
    board = BOARDS[scenario.mould.material]
    board_R = scenario.mould.thickness_mm / 1e3 / board.k_W_mK
    if ground is not None:
        board_R = SIDE_FORM_M2K_W

    def in_force(hour: float) -> tuple[float, ...]:
        """R_top, R_bottom, R_side, board, wet, top and bottom fixed."""
        active = [g for g in coverings if g.from_h <= hour < covered_until(g, off_h)]
        R = sum(g.resistance_m2K_W for g in active)
        under = sum(g.resistance_m2K_W for g in active if g.faces == "all")
        sealed = any(COVERS[g.kind].sealed for g in active)
        film, mould_on = covered_h <= hour < bare_h, hour < strip_h
        fixed_C = [g.setpoint_C if g.read_C is None else g.read_C for g in active if g.heats]
        fixed = (fixed_C or [np.nan])[-1]
        assert fixed is not None
        top = R + (COVERS["film"].R_m2K_W if film and not active else 0.0)
        wet = 0.0 if sealed or film or hour >= bare_h else 1.0
        return top, under, R + (board_R if mould_on else 0.0), float(mould_on), wet, fixed, fixed

    columns = np.array([in_force(hour) for hour in from_h]).T
    if ground is not None:  # it stays when the forms go, and no enclosure warms it from below
        columns[1], columns[3], columns[6] = 0.0, 1.0, float(ground.mean())
    if scenario.shape.kind == "box":  # its faces stand between boards, not under a film
        boarded = from_h < strip_h
        columns[0] += board_R * boarded
        columns[4] *= ~boarded
    return heat.Schedule(from_h, *columns)


def covered_until(covering: Covering, off_h: float) -> float:
    """Hour at which a cover comes off [h]: its own end, or when all that lies there is taken off.

    off_h : hour of taking all of them off [h], infinite: none
    """
    return min(covering.until_h, off_h) if covering.from_h < off_h else covering.until_h
