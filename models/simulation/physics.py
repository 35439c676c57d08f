"""From a scenario and the air to what every member of the concrete goes through."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

import numpy as np

from models.air import place
from models.air.members import AirMembers
from models.air.series import AirSeries
from models.concrete import frost, heat, time_steps
from models.concrete import prior as priors
from models.concrete.sweeps import Sweeps
from models.draws import Draws
from models.errors import Unknown
from models.facts.instruments import READING_SD_K
from models.message import Message
from models.rng import stream
from models.simulation import (
    blown,
    calibrate,
    enclosure,
    fresh_face,
    placed,
    stays,
    thermal,
    weather,
)
from models.simulation import plan as plans
from models.simulation.in_force import NEVER_H, lying, schedule
from models.simulation.plan import Plan
from models.simulation.scenario import Scenario
from models.simulation.soaked import soaked_h as water_comes_h
from models.steps.dry import Drying
from models.steps.opening import Trajectory
from models.units import Array, Index, Mask

MEMBERS, MEMBERS_WITH_EVIDENCE = 64, 256  # weighting by readings leaves enough of the latter
HORIZON_H = 28 * 24 + 24  # how far a pour is looked at
SET_WITHIN_H = 48  # a face that has not set by then is not covered by the plan
FROZEN_FRACTION = 0.5
ALIKE = 0.01  # of a member's share: weights that differ by less weigh nobody
TELL_OF_SITE = ("air", "air-min-max", *READING_SD_K)
LEAST_HARM = 1e-4  # a member under it stays as it is when a cover is thought over


@dataclass(frozen=True)
class Simulation:
    """The trajectory of all members with what the words need beside it."""

    trajectory: Trajectory
    prior: priors.Prior
    members: "Members"  # what all its plans are compared on
    plan: Plan  # what is done to it, and when
    known_h: float  # last hour from placing that stands on weather
    truncated: bool  # the weather stops in the past: later steps cannot be judged
    evaporation_kg_m2h: float  # 90 % of members, worst of the first hours
    notes: tuple[Message, ...]
    no_moisture: Message | None = None  # why nothing that hangs on moisture can be judged
    drying: Drying | None = None  # filled by simulation.drying; what-ifs do without
    odd: tuple[calibrate.Contradiction, ...] = ()  # readings that contradict what was predicted
    before: Mapping[str, "Simulation"] = field(default_factory=dict)  # as a step is judged: undone
    iced: Array = field(default_factory=lambda: np.zeros((1, 1)))  # chance of harm before any look

    def frozen_by(self, hour: float) -> float:
        """Chance that ice has harmed it by an hour from placing, before it bore a frost, 0 to 1."""
        return float(self.trajectory.weight @ self.trajectory.harmed_by(hour))

    def frost_passes(self, chance: float) -> float:
        """Hour at which the chance of harm by ice passes a value [h]; infinite: it never does."""
        by_row = self.trajectory.harm @ self.trajectory.weight
        return float(self.trajectory.first(by_row[:, None], chance)[0])

    @property
    def weighed(self) -> bool:
        """Whether what was seen makes any member likelier than another."""
        return bool(np.ptp(self.trajectory.weight) * self.trajectory.members > ALIKE)

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
    site_K: Array | None
    outdoor: AirMembers  # of all members, whatever place they stand in
    luck: Array  # with the wind, 0 to 1
    rough: Mask  # hours in which the outside of any of them changes much
    sweeps: Sweeps = field(default_factory=Sweeps)  # plans share what they are alike in
    film_h: float = np.inf  # when its face bears the film that is meant, from placing [h]
    known: stays.Known = field(default_factory=dict)

    @property
    def probed(self) -> bool:
        """Whether something was read in the piece, which moves all of them together."""
        return any(one.kind in READING_SD_K for one in self.scenario.observations)

    def only(self, some: Mask | Index) -> "Members":
        """Some of them, where they stand, by a mask (members,) or by their places. The ground is
        that of all."""
        if some.dtype == np.bool_ and some.all():
            return self
        return replace(
            self,
            luck=self.luck[some],
            prior=self.prior.only(some),
            placed_C=self.placed_C[some],
            board_C=None if self.board_C is None else self.board_C[some],
            exposure=stays.exposure_of(self.exposure, some),
            air={name: values[:, some] for name, values in self.air.items()},
            site_K=None if self.site_K is None else self.site_K[some],
            sweeps=self.sweeps.only(some),
        )


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
    count : members; not told: 64, and 256 where what was seen weighs any of these
    plan : what is done to it and when; not told: what was logged, and nothing else

    Returns Unknown where the weather at placing is missing.
    """
    plan = plans.told(scenario) if plan is None else plan
    members = drawn(scenario, air, now, hours, count or MEMBERS)
    if isinstance(members, Unknown):
        return members
    found = under(members, plan)
    if count is None and found.weighed:
        more = drawn(scenario, air, now, hours, MEMBERS_WITH_EVIDENCE)
        assert isinstance(more, Members)
        found = under(more, plan)
    return found


def drawn(
    scenario: Scenario, air: AirSeries, now: datetime, hours: int, many: int = MEMBERS
) -> Members | Unknown:
    """The members of a pour, `many` of them, else as for `simulate`."""
    scenario, tent_notes = enclosure.as_read(scenario)
    usable = weather.usable(scenario, air, now, hours)
    if isinstance(usable, Unknown):
        return usable
    series, forecast_hours, truncated, notes = usable
    before_h = series.hour_of(scenario.placement.at)
    rows = int(min(hours, np.floor(series.hours - 1 - before_h)))

    body = thermal.body(scenario)
    outdoor, local, odd = calibrate.air_at_piece(
        scenario.site,
        scenario.observations,
        series,
        many,
        forecast_hours,
        body.faces,
    )
    local = place.measured(local, scenario.placement.measures, int(before_h))
    prior = placed.mixed(scenario, many)
    board = scenario.placement.board_C
    ground = thermal.ground_C(local, int(before_h), board) if scenario.on_ground else None
    felt = stays.felt(local, before_h, rows, body)
    members = Members(
        scenario,
        prior,
        placed.placed_C(scenario, local.air_C[int(before_h)], many),
        np.full(many, board) if ground is None and board is not None else ground,
        ground,
        *felt,
        rows,
        forecast_hours - 1 - before_h,
        truncated,
        (*notes, *tent_notes, *placed.held(scenario, local.air_C[int(before_h)])),
        odd,
        weather.moisture_missing(scenario, air, now),
        local.site_K,
        outdoor,
        Draws(many).even("failure"),
        time_steps.rough_hours(felt[0], rows),
    )
    return replace(members, film_h=_bears_film_h(members))


def there(members: Members, plan: Plan) -> Members:
    """The members with the air of the places in which the piece stands under a plan."""
    scenario, here = members.scenario, (members.exposure, members.air)
    moved = stays.of_plan(scenario, plan)
    if not moved:
        return members
    drawn = stays.Drawn(members.outdoor, thermal.body(scenario), members.rows, members.known)
    felt, air = stays.joined(moved, scenario.site, here, drawn)
    rough = time_steps.rough_hours(felt, members.rows)
    return replace(members, exposure=felt, air=air, rough=rough, sweeps=Sweeps())


def under(members: Members, plan: Plan, hours: int | None = None) -> Simulation:
    """What the members go through under a plan, hourly from placing.

    hours : [h] looked at, no more than they were drawn for; not told: all of them
    """
    scenario, prior = members.scenario, members.prior
    rows = members.rows if hours is None else min(hours, members.rows)
    many, placed_there = prior.members, there(members, plan)
    histories, odd, iced, soaked_h = _went_through(placed_there, plan, rows)
    odd = (*members.odd, *odd)
    strong = prior.grown(histories.te_cold_h, histories.mean_C)
    mean = prior.grown(histories.te_mean_h, histories.mean_C)
    trajectory = Trajectory(
        hour=histories.hour,
        weight=np.full(many, 1 / many),
        strength_MPa=strong,
        strength_mean_MPa=mean,
        te_mean_h=histories.te_mean_h,
        te_cold_h=histories.te_cold_h,
        mean_C=histories.mean_C,
        top_C=histories.top_C,
        coldest_C=histories.coldest_C,
        **{name: values[: rows + 1] for name, values in placed_there.air.items()},
        initial_set_h=prior.initial_set_h,
        final_set_h=prior.final_set_h,
        harm=iced.by,
        frost_depth=iced.depth,
        soaked_h=soaked_h,
        named_28d_MPa=prior.named_28d_MPa,
        specified_28d_MPa=prior.specified_28d_MPa,
        forecast_rows=int(min(rows + 1, max(0, members.known_h + 1))),
    )
    weight, harm, weight_notes = calibrate.weights(scenario, trajectory)
    trajectory = replace(trajectory, weight=weight, harm=harm)
    return Simulation(
        trajectory,
        prior,
        members,
        plan,
        members.known_h,
        members.truncated,
        fresh_face.evaporation_at_90(scenario, trajectory),
        (*members.notes, *calibrate.messages(odd), *weight_notes),
        members.no_moisture,
        odd=odd,
        iced=iced.by,
    )


def harmed_under(simulation: Simulation, plan: Plan, now_h: float, hours: float) -> float:
    """Chance that ice has harmed it by an hour from placing [h] under another plan, 0 to 1.

    now_h : [h], up to here the plans are alike, and what was seen counts
    plan : one under which no member is colder than it was, as with one more cover; only members
    that may freeze as it stands are computed anew
    """
    trajectory, members = simulation.trajectory, simulation.members
    some: Mask = (simulation.iced[-1] > LEAST_HARM) | members.probed
    rows = int(np.clip(np.ceil(hours), 1, trajectory.hour[-1]))
    now = int(np.clip(np.floor(now_h), 0, rows))
    harmed = trajectory.harm[now].copy()
    if some.any():
        _, _, iced, _ = _went_through(there(members, plan).only(some), plan, rows)
        before = simulation.iced[now, some]
        more = np.clip((iced.by[-1] - before) / np.maximum(1 - before, 1e-9), 0.0, 1.0)
        harmed[some] += (1 - harmed[some]) * more
    return float(trajectory.weight @ harmed)


def _went_through(
    members: Members, plan: Plan, rows: int
) -> tuple[heat.Histories, tuple[calibrate.Contradiction, ...], frost.Harm, Array]:
    """Temperatures and ages after all that was read, what contradicts, ice, water from outside."""
    scenario, prior = members.scenario, members.prior
    ground_C, film_h = members.ground_C, members.film_h
    in_force = schedule(scenario, ground_C, plan, film_h)
    marks_h = None if members.probed else time_steps.marks_after(in_force.from_h[1:], rows)
    finer = _swept(members, in_force, rows, marks_h, members.sweeps)
    bare = []
    wind_m_s = members.air["wind_m_s"][: rows + 1]
    for on_h, to_h, some in blown.spells(
        lying(scenario, plan), wind_m_s, lambda: blown.nobody_there(scenario, rows), members.luck
    ):
        gone_h = (on_h, to_h)
        uncovered = schedule(scenario, ground_C, plan, film_h, gone_h)
        bare.append((some, members.only(some), uncovered, gone_h))
    if bare:  # other plans go on from what is kept
        finer = heat.Histories(*(one.copy() for one in finer))
    for some, few, uncovered, _ in bare:
        blown.put_into(finer, some, _swept(few, uncovered, rows, marks_h, few.sweeps))
    histories = heat.Histories(*(one[: rows + 1] for one in finer))
    histories, odd = calibrate.after_concrete_readings(
        scenario, histories, prior, stream("concrete readings")
    )
    seen = histories if members.probed else finer
    iced, soaked_h = _iced(members, plan, in_force, seen, rows, marks_h)
    for some, few, uncovered, blown_h in bare:
        its = heat.Histories(*(one[:, some] for one in seen))
        own, soaked_h[some] = _iced(few, plan, uncovered, its, rows, marks_h, blown_h)
        iced.by[:, some], iced.depth[some] = own.by, own.depth
    return histories, odd, iced, soaked_h


def _iced(
    members: Members,
    plan: Plan,
    in_force: heat.Schedule,
    seen: heat.Histories,
    rows: int,
    marks_h: Array | None,
    blown_h: tuple[float, float] = NEVER_H,
) -> tuple[frost.Harm, Array]:
    """Ice, and when water from outside reaches them [h]; in_force is that of blown_h."""
    scenario, film_h = members.scenario, members.film_h
    rain_mm = members.air["rain_mm"][: rows + 1]
    soaked_h = water_comes_h(scenario, plan, np.arange(rows + 1.0), rain_mm, film_h, blown_h)
    around = surroundings(scenario, in_force, members.exposure, members.site_K, soaked_h)
    harm = frost.harm(seen, around, members.prior, scenario.code.frost_MPa, marks_h)
    return harm, soaked_h


def _swept(
    members: Members,
    in_force: heat.Schedule,
    rows: int,
    marks_h: Array | None = None,
    sweeps: Sweeps | None = None,
) -> heat.Histories:
    """heat.temperature of the members under a schedule; rows, marks_h, sweeps as there."""
    scenario = members.scenario
    return heat.temperature(
        thermal.column(scenario),
        in_force,
        members.exposure,
        thermal.kinetics(members.prior),
        members.placed_C,
        rows,
        sprint_tau_h=scenario.resolved().mix.hydration_tau_h,
        board_C=members.board_C,
        marks_h=marks_h,
        sweeps=sweeps,
        rough=members.rough,
    )


def surroundings(
    scenario: Scenario,
    in_force: heat.Schedule,
    felt: heat.Exposure,
    site_K: Array | None,
    soaked_h: Array | None = None,
) -> frost.Surroundings:
    """What ice depends on beside the temperatures.

    site_K : (members,) [K] error of the site, integrated out unless a reading told of it
    soaked_h : (members,) [h] when water from outside reaches it; not told: it is kept dry
    """
    placement = scenario.placement
    told = any(reading.kind in TELL_OF_SITE for reading in scenario.observations)
    guessed = (placement.concrete_C, placement.bag_C, placement.water_C) == (None, None, None)
    water_kg_m3 = scenario.resolved().mix.cement_kg_m3 * scenario.water_cement
    own_K, sd_K = None if told else site_K, scenario.site.own_sd_K
    return frost.Surroundings(
        thermal.column(scenario), in_force, felt, water_kg_m3, own_K, sd_K, guessed, soaked_h
    )


def _bears_film_h(members: Members) -> float:
    """When the bare face bears film, at even odds, to the whole minute [h]; infinite: not soon.

    Source: ASTM_C403 for the initial set.
    """
    scenario, prior = members.scenario, members.prior
    if "cover" in scenario.done_h:
        return np.inf
    in_force = schedule(scenario, members.ground_C, plans.told(scenario).confirmed())
    bare = _swept(members, in_force, min(SET_WITHIN_H, members.rows))
    part = np.median(bare.te_mean_h / prior.initial_set_h, axis=1)
    at = scenario.clock(float(np.interp(1.0, part, bare.hour, right=np.inf)))
    return np.inf if at is None else scenario.hour(at)
