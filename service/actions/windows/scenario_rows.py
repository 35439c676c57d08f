"""Rows in, one frozen Scenario out: the only file that knows both wings."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from datetime import datetime, time, timedelta
from functools import partial
from typing import Any, TypeVar

from sqlmodel import Session, SQLModel

from models import instants, records
from models.air.place import Site
from models.air.series import AirSeries
from models.coating.film import SealerSystem
from models.coating.finish import checked
from models.concrete.composition import Composition
from models.concrete.mixture import LabelStrength, Mixture
from models.concrete.recipe import Part
from models.concrete.section import Covering, MouldBoard
from models.errors import InputError, Unknown, renamed
from models.message import Message, Value
from models.piece.shape import FaceTold, Insert, Opening, Shape
from models.planning import pour_check, timeline
from models.records.batch import BatchBase
from models.results import Projection
from models.simulation.batch import Batch
from models.simulation.batched import with_batches
from models.simulation.scenario import (
    FUTURE_POUR,
    Done,
    Meant,
    Observation,
    Placement,
    Scenario,
    ShopRules,
    StrengthTest,
)
from service import answers, region
from service.actions.weather import place_air
from service.answers import PourAnswerResponse
from service.queries import places
from service.queries.poured import Poured, poured
from service.queries.pours import PourRows, load_pour
from service.queries.rows import find_shop
from service.words import Reader

HOUR = timedelta(hours=1)
Made = TypeVar("Made")
BEFORE_PLACING = timedelta(hours=24)  # air before placing that a projection may ask for


@dataclass(frozen=True)
class Gathered:
    """All that one projection depends on, taken from the rows in one look."""

    pour_id: int
    scenario: Scenario
    air: AirSeries | Unknown
    weather_run_id: int | None
    warnings: tuple[Message, ...]
    inputs: dict[str, Any]


def shared(science: type[Any], row: SQLModel) -> dict[str, Any]:
    """The fields that a dataclass of the science has in common with a row."""
    known = type(row).model_fields
    return {one.name: getattr(row, one.name) for one in fields(science) if one.name in known}


def _each(
    make: Callable[..., Made], parts: Sequence[Mapping[str, Any]], name: str
) -> tuple[Made, ...]:
    """The parts that a row keeps as a list; an error names the part by its number."""
    made = []
    for k, part in enumerate(parts):
        with renamed(prefix=f"{name}[{k}]."):
            made.append(make(**part))
    return tuple(made)


def calibration_of(place: records.Place, mix: records.Mix | None) -> dict[str, float]:
    """What is known of a place and a mix by now, for the next pour; a pour keeps it."""
    numbers = {
        "lag_h": place.learned_lag_h,
        "lag_spread": place.learned_lag_spread,
        "offset_K": place.learned_offset_K,
        "offset_sd_K": place.learned_offset_sd_K,
        "strength_factor": mix.learned_strength_factor if mix else None,
        "set_factor": mix.learned_set_factor if mix else None,
    }
    return {name: value for name, value in numbers.items() if value is not None}


def site_of(place: records.Place, calibrated: Mapping[str, float] | None = None) -> Site:
    """The site; what the maker told goes before what was learned."""
    known = (calibrated or {}) if place.kind != "heated room" else {}
    lag = known if place.lag_h is None else {}
    offset = known if place.offset_K is None else {}
    values = shared(Site, place) | {
        "lag_h": lag.get("lag_h", place.lag_h),
        "offset_K": offset.get("offset_K", place.offset_K),
    }
    return Site(
        **values,
        heated_hours=_heated_hours(place),
        lag_spread=lag.get("lag_spread"),
        offset_sd_K=offset.get("offset_sd_K"),
    )


def _heated_hours(place: records.Place) -> tuple[time, time] | None:
    begin, end = place.heated_from, place.heated_to
    return None if begin is None or end is None else (begin, end)


def mixture_of(mix: records.Mix, calibrated: Mapping[str, float] | None = None) -> Mixture:
    """The mixture; a set time that the maker told goes before what was learned."""
    known = calibrated or {}
    set_known = mix.initial_set_h is not None or mix.final_set_h is not None
    with renamed(prefix="cement."):
        cement = None if mix.cement is None else Composition(**mix.cement)
    label = _each(LabelStrength, mix.label, "strength")
    recipe = _each(Part, mix.recipe, "recipe")
    values = shared(Mixture, mix) | {"label": label, "cement": cement, "recipe": recipe}
    return Mixture(
        **values,
        strength_factor=known.get("strength_factor", 1.0),
        set_factor=1.0 if set_known else known.get("set_factor", 1.0),
    ).by_recipe()


def shape_of(piece: records.Piece) -> Shape:
    openings = _each(Opening, piece.openings, "opening")
    parts = {
        "openings": openings,
        "faces_told": _each(FaceTold, piece.faces_told, "face"),
        "inserts": _each(Insert, piece.inserts, "insert"),
    }
    values = shared(Shape, piece) | {"kind": piece.shape} | parts
    return Shape(**values)


def placement_of(pour: records.Pour) -> Placement:
    values = shared(Placement, pour) | {"at": pour.placed_at, "measures": tuple(pour.measures)}
    return Placement(**values)


def board_of(mould: records.Mould | None) -> MouldBoard:
    return MouldBoard(**shared(MouldBoard, mould)) if mould else MouldBoard()


def sealer_of(sealer: records.Sealer | None) -> SealerSystem:
    return SealerSystem() if sealer is None else SealerSystem(**shared(SealerSystem, sealer))


def rules_of(shop: records.Shop) -> ShopRules:
    return ShopRules(
        confidence=shop.confidence,
        code=shop.code,
        working_hours=(shop.working_from, shop.working_to),
        quiet_hours=(shop.quiet_from, shop.quiet_to),
        owned=_each(partial(Covering, from_h=0.0, to_h=None), _uncounted(shop), "covers"),
        needs_MPa=dict(shop.needs_MPa),
        gear=tuple(shop.gear),
        lifters=shop.lifters,
    )


def _uncounted(shop: records.Shop) -> list[dict[str, Any]]:
    """Its covers as the physics takes them: how many there are only the planner asks."""
    return [{k: v for k, v in one.items() if k != "count"} for one in shop.covers]


def covering_of(period: records.ProtectionPeriod, placed_at: datetime) -> Covering | None:
    """Hours from placing; None when the cover came off before the concrete went in."""
    if period.to_at is not None and period.to_at <= placed_at:
        return None
    return Covering(
        from_h=max((period.from_at - placed_at) / HOUR, 0.0),
        to_h=None if period.to_at is None else (period.to_at - placed_at) / HOUR,
        **shared(Covering, period),
    )


def observation_of(reading: records.Reading) -> Observation:
    measured = {"tile": reading.mass_g, "humidity": reading.rh_pct}.get(reading.kind)
    told = shared(Observation, reading) | {"wrong": reading.wrong or reading.spare}
    return Observation(
        value=reading.value_C if measured is None else measured,
        value_max=reading.value_max_C,
        **told,
    )


def tested(test: records.StrengthTest) -> StrengthTest:
    return StrengthTest(**shared(StrengthTest, test))


def done_of(step: records.StepDone) -> Done:
    return Done(**shared(Done, step))


def meant_of(row: Mapping[str, Any]) -> Meant:
    """What is meant, as it is kept."""
    at = instants.instant("at", row["at"])
    told = {name: row.get(name) for name in ("cover", "heat", "place", "faces")}
    return Meant(row["step"], at, **told)


def gather(session: Session, now: datetime, pour_id: int) -> Gathered:
    """Everything one projection of this pour depends on; refuses what cannot be at `now`."""
    return gather_rows(session, now, load_pour(session, pour_id))


def gather_rows(session: Session, now: datetime, rows: PourRows) -> Gathered:
    """The same of a pour that was loaded already."""
    pour, place = rows.pour, rows.place
    coverings = (covering_of(period, pour.placed_at) for period in rows.protections)
    scenario = replace(
        as_planned(session, pour, rows),
        coverings=tuple(covering for covering in coverings if covering is not None),
        observations=tuple(observation_of(reading) for reading in rows.readings),
        tests=tuple(tested(test) for test in rows.tests),
        done=tuple(done_of(step) for step in rows.done),
        plan=tuple(meant_of(row) for row in pour.plan),
    )
    scenario = with_room(session, with_batches(scenario, [batch_of(one) for one in rows.batches]))
    scenario.checked_against(now)
    weather = place_air.joined(
        session, place, now, pour.placed_at - BEFORE_PLACING, rows.readings, pour.placed_at
    )
    return Gathered(
        pour_id=pour.id,
        scenario=scenario,
        air=weather.air,
        weather_run_id=weather.run_id,
        warnings=(*_clock_off(place), *weather.warnings),
        inputs=_inputs(rows, weather),
    )


def batch_of(batch: records.Batch) -> Batch:
    """The batch; its own mix as it was then."""
    mixture = None if batch.mixed is None else mixture_of(records.Mix(**batch.mixed))
    return Batch(**shared(Batch, batch), mixture=mixture)


def _clock_off(place: records.Place) -> tuple[Message, ...]:
    """A place of before zones were held against longitudes."""
    if place.longitude is None or region.apart_h(place.timezone, place.longitude) <= (
        region.MOST_APART_H
    ):
        return ()
    values: dict[str, Value] = {
        "name": place.name,
        "zone": place.timezone,
        "longitude": place.longitude,
    }
    return (Message("clock_off_longitude", values),)


def planned(session: Session, pour: records.Pour) -> Scenario:
    """The scenario of a pour before anything was observed; the row need not be stored yet."""
    return as_planned(session, pour, poured(session, pour))


def as_planned(session: Session, pour: records.Pour, rows: Poured) -> Scenario:
    """The same of one whose rows were loaded already."""
    return Scenario(
        name=rows.piece.name,
        site=site_of(rows.place, pour.learned),
        mixture=mixture_of(rows.mix, pour.learned),
        shape=shape_of(rows.piece),
        placement=placement_of(pour),
        mould=board_of(rows.mould),
        sealer=sealer_of(rows.sealer),
        then=_then(rows),
        rules=rules_of(find_shop(session)),
        exposed_to_frost=rows.piece.exposed_to_frost,
        burner=rows.piece.burner,
    )


def _then(rows: Poured) -> tuple[SealerSystem, ...]:
    """The products over the sealer; an InputError names the two that do not go together."""
    systems = [sealer_of(rows.sealer), *(sealer_of(one) for one in rows.then)]
    if rows.then:
        if rows.sealer is None:
            names = ", ".join(one.name for one in rows.then)
            raise InputError("sealer_then", names, "over no sealer", "sealer_id for the first")
        try:
            checked(systems)
        except InputError as error:
            names = ", ".join(one.name for one in (rows.sealer, *rows.then))
            raise InputError("sealer_then", names, error.wrong, error.allowed) from None
    return tuple(systems[1:])


def with_room(session: Session, scenario: Scenario) -> Scenario:
    """The scenario with the room of the shop that it may be cast in; a heated one goes before."""
    if scenario.site.is_room:
        return scenario
    room = places.room_of_the_shop(session)
    site = None if room is None else site_of(room, calibration_of(room, None))
    return replace(scenario, rules=replace(scenario.rules, indoors=site))


def placing_allowed(placed_at: datetime, now: datetime) -> None:
    """A planned pour may lie ahead, but not by a season."""
    if placed_at > now + FUTURE_POUR:
        raise InputError(
            "placed_at",
            placed_at.isoformat(),
            "too far in the future",
            f"at most {FUTURE_POUR.days} days ahead of {now.isoformat()}",
        )


def projected(gathered: Gathered, now: datetime) -> Projection:
    """The projection, with what is to be said about the weather used."""
    answer = timeline.project(gathered.scenario, gathered.air, now)
    return replace(answer, warnings=answer.warnings + gathered.warnings)


def pour_checked(
    scenario: Scenario, air: AirSeries | Unknown, now: datetime, **options: Any
) -> PourAnswerResponse:
    """May this be poured now, tonight, or when, and in which way? options : as for the check."""
    result = pour_check.check(scenario, air, now, **options)
    return answers.pour_answer(result, Reader(scenario.site.timezone))


def _inputs(rows: PourRows, weather: place_air.Joined) -> dict[str, Any]:
    pour = rows.pour
    mixed = [
        [_iso(one.at), *(getattr(one, name) for name in BatchBase.model_fields if name != "note")]
        for one in rows.batches
    ]
    return {
        **({"batches": mixed} if mixed else {}),
        "pour": [
            pour.placed_at.isoformat(),
            pour.concrete_C,
            pour.water_added_l,
            pour.mix_id,
            pour.piece_id,
            pour.place_id,
            pour.mould_id,
            pour.sealer_id,
            *pour.sealer_then,
            *(["burner fitted"] if pour.burner_fitted else []),
            pour.bag_C,
            pour.water_C,
            pour.board_C,
            *(["delivered"] if pour.delivered else []),
            *(value for value in (pour.placing_h, *pour.measures) if value is not None),
            *pour.plan,
        ],
        "protections": [[p.kind, p.from_at.isoformat(), _iso(p.to_at)] for p in rows.protections],
        "readings": [
            reading.id for reading in rows.readings if not reading.wrong and not reading.spare
        ],
        "strength_tests": [test.id for test in rows.tests],
        "steps": [[step.step, step.at.isoformat()] for step in rows.done],
        "learned": pour.learned,
        "weather_run_id": weather.run_id,
        "weather_source": weather.source,
    }


def _iso(at: datetime | None) -> str | None:
    return None if at is None else at.isoformat()
