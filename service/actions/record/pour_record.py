"""The record of a piece: what was logged, what was told of it and when, and what was seen."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from sqlmodel import Session

from models import records
from models.errors import InputError, Unknown
from models.message import Message, text
from models.piece.coated import coated_m2, litres_of_coat, litres_of_coats
from models.piece.shape import Shape
from models.planning.predicted import Predicted, predict
from models.simulation.scenario import TEMPERATURE_KINDS, Scenario
from models.steps import registry
from service.actions.record.causes_of import causes
from service.actions.record.parts import Record, Sealed, SealedWith
from service.actions.record.weather_days import Day, days_of
from service.actions.shop import costs
from service.actions.shop.learned_work import Learned, learned
from service.actions.windows import scenario_rows
from service.actions.windows.assumed import assumed
from service.answers import PourSummaryResponse, read_answer, read_concrete, told
from service.nouns.fault import causes_read
from service.queries import projections
from service.queries.faults import faults_of
from service.queries.held import stays
from service.queries.pours import PourRows, load_pour, photos_of
from service.queries.rows import find_shop, of_pour
from service.queries.series import Series, series_of
from service.store import Store
from service.words import Reader, say, word

PLACE_FIELDS = {
    "name",
    "kind",
    "hollow",
    "looks",
    "setpoint_C",
    "heated_from",
    "heated_to",
    "heater",
}
FIRST_FEW = 5  # of the first projections, the first that had weather counts


@dataclass(frozen=True)
class _Rows(PourRows):
    """A pour, and what was told of it, taken from the tables in one look."""

    reminders: Sequence[records.Reminder]
    moves: Sequence[tuple[datetime, Message]]
    photos: Sequence[records.Photo]
    faults: Sequence[records.PourFault]
    first: records.Projection | None
    newest: records.Projection | None
    before_done: dict[str, records.Projection]
    gathered: scenario_rows.Gathered | InputError
    assumed: tuple[str, ...]
    shop: records.Shop
    series: Series
    mould_use: int | None
    work: Learned


def read_pour_record(
    store: Store, now: datetime, pour_id: int, reader: Reader | None = None
) -> Record:
    """The record of a pour as it stands.

    Handed the store, since no transaction may be open while it calculates.
    reader : whom its sentences are told to; None: in SI, by the clock of its place
    """
    with store.reading() as session:
        rows = _load(session, now, pour_id)
    predicted: Predicted | Unknown
    if isinstance(rows.gathered, InputError):
        predicted = Unknown(text("the model"), text(str(rows.gathered)), text("correct the pour"))
    else:
        predicted = predict(rows.gathered.scenario, rows.gathered.air, rows.end(now))
    return _record(rows, predicted, now, reader or Reader(rows.place.timezone))


def _load(session: Session, now: datetime, pour_id: int) -> _Rows:
    rows = load_pour(session, pour_id, spare=True)
    first = projections.first(session, pour_id, FIRST_FEW)
    gathered: scenario_rows.Gathered | InputError
    try:
        gathered = scenario_rows.gather_rows(session, rows.end(now), rows)
    except InputError as error:
        gathered = error
    return _Rows(
        **vars(rows),
        reminders=of_pour(session, records.Reminder, pour_id, "due_at"),
        moves=projections.moves(session, pour_id),
        photos=photos_of(session, pour_id),
        faults=faults_of(session, pour_id),
        first=next((row for row in first if _has_hours(row)), first[0] if first else None),
        newest=projections.latest(session, pour_id),
        before_done=projections.before_done(session, pour_id),
        gathered=gathered,
        assumed=assumed(session, rows),
        shop=find_shop(session),
        series=series_of(session, rows.pour),
        mould_use=_use(session, rows.pour),
        work=learned(session),
    )


def _use(session: Session, pour: records.Pour) -> int | None:
    """Which pour into its mould it was, from 1; None of one in no mould, or that never was."""
    if pour.mould_id is None:
        return None
    there = [one.pour.id for one in stays(session, [pour.mould_id])[pour.mould_id]]
    return there.index(pour.id) + 1 if pour.id in there else None


def _has_hours(row: records.Projection) -> bool:
    return any(step.earliest.p50 is not None for step in read_answer(row.answer).steps)


def _record(rows: _Rows, predicted: Predicted | Unknown, now: datetime, reader: Reader) -> Record:
    pour, place = rows.pour, rows.place
    zone = ZoneInfo(place.timezone)
    answer = told(read_answer(rows.newest.answer), reader) if rows.newest else None
    summary = answer.pour if answer else PourSummaryResponse()
    until = min(rows.end(now), rows.newest.checked_at) if rows.newest else now
    missing = say(predicted.message, reader) if isinstance(predicted, Unknown) else ""
    parts = {
        **pour.model_dump(),
        "pour_id": pour.id,
        "made_at": now,
        "timezone": place.timezone,
        "piece": rows.piece.model_dump(exclude={"id", "created_at"}),
        "mix": rows.mix.model_dump(exclude={"id", "created_at", "learned_at", "forgotten_at"}),
        "place": place.model_dump(include=PLACE_FIELDS),
        "mould": rows.mould
        and rows.mould.model_dump(exclude={"id", "created_at", "piece_id", "alike_id"}),
        "mould_use": rows.mould_use,
        "series_number": rows.series.number,
        "series_of": rows.series.of,
        "sealer": _sealer(rows),
        "volume_l": summary.volume_l,
        "mass_kg": summary.mass_kg,
        "bags_needed": summary.bags_net,
        "cost": _cost(rows, summary, now),
        "batches": rows.batches,
        "learned": pour.learned or {},
        "assumed": rows.assumed,
        "steps": _steps(rows),
        "undone": [
            {
                "step": row.step,
                "at": row.at.astimezone(zone),
                "undone_at": row.undone_at.astimezone(zone),
            }
            for row in rows.steps
            if row.undone_at is not None
        ],
        "readings": _readings(rows, predicted),
        "strength_tests": _tests(rows, predicted),
        "foreseen_missing": missing,
        "protections": rows.protections,
        "days": _days(rows, zone, until),
        "reminders": rows.reminders,
        "moves": [{"at": at, "why": say(why, reader)} for at, why in rows.moves],
        "warnings": answer.warnings if answer else [],
        "photos": rows.photos,
        "faults": _faults(rows, now, reader),
        "logged": _logged(rows),
        "came_out": next((row.came_out for row in rows.done if row.step == "strip"), None),
    }
    return Record.model_validate(parts, from_attributes=True, context=zone)


def _logged(rows: _Rows) -> list[dict[str, object]]:
    """Who logged what, the first first; nothing where nobody had to sign in."""
    parts = (
        ("pour", (rows.pour,)),
        ("batch", rows.batches),
        ("step", rows.steps),
        ("reading", rows.readings),
        ("test", rows.tests),
        ("cover", rows.protections),
        ("photo", rows.photos),
        ("fault", rows.faults),
    )
    found = [
        {"name": row.logged_by, "what": what, "at": row.created_at}
        for what, of in parts
        for row in of
        if row.logged_by
    ]
    return sorted(found, key=lambda one: str(one["at"]))


def _faults(rows: _Rows, now: datetime, reader: Reader) -> list[dict[str, object]]:
    """Each with what the log spoke for until it was seen."""
    told = causes(rows.gathered, rows, rows.end(now), rows.faults)
    return [
        {**row.model_dump(), "causes": causes_read(one, reader)}
        for row, one in zip(rows.faults, told, strict=True)
    ]


def _days(rows: _Rows, zone: ZoneInfo, until: datetime) -> list[Day]:
    if rows.newest is None:
        return []
    air = None if isinstance(rows.gathered, InputError) else rows.gathered.air
    return days_of(read_concrete(rows.newest.concrete), air, zone, until)


def _steps(rows: _Rows) -> list[dict[str, object]]:
    """Every step that was told or done, in the order of the newest telling."""
    done = {row.step: row.at for row in rows.done}
    newest, first = _windows(rows.newest), _windows(rows.first)
    if rows.first is not None:
        first_at = rows.first.made_at
        first = {step: w for step, w in first.items() if step not in done or first_at <= done[step]}
    return [
        {
            "step": step,
            "first_told": first.get(step),
            "before_done": _windows(rows.before_done.get(step)).get(step),
            "newest": newest.get(step),
            "done_at": done.get(step),
        }
        for step in dict.fromkeys((*newest, *first, *done))
    ]


def _windows(row: records.Projection | None) -> dict[str, dict[str, object]]:
    """What was told of each step at one time."""
    if row is None:
        return {}
    return {
        window.step: {
            "told_at": row.made_at,
            "likely_at": window.earliest.p50,
            "sure_at": window.earliest.safe,
            "latest_at": window.latest,
            "state": window.state,
            "because": window.because,
        }
        for window in read_answer(row.answer).steps
    }


def _readings(rows: _Rows, predicted: Predicted | Unknown) -> list[dict[str, object]]:
    nothing = [None] * len(rows.readings)
    bands, highs = (
        (nothing, nothing)
        if isinstance(predicted, Unknown)
        else (predicted.observations, predicted.highs)
    )
    return [
        {
            **row.model_dump(),
            "value_C": row.value_C if row.kind in TEMPERATURE_KINDS else None,
            "span_h": row.span_h if row.kind == "air-min-max" else None,
            "of_this_piece": row.pour_id == rows.pour.id,
            "age_h": _age_h(rows, row.at),
            "foreseen": band,
            "foreseen_max": high,
        }
        for row, band, high in zip(rows.readings, bands, highs, strict=True)
    ]


def _tests(rows: _Rows, predicted: Predicted | Unknown) -> list[dict[str, object]]:
    bands = [None] * len(rows.tests) if isinstance(predicted, Unknown) else predicted.tests
    return [
        {
            **row.model_dump(),
            "strength_MPa": row.MPa,
            "age_h": _age_h(rows, row.at),
            "foreseen_MPa": band,
        }
        for row, band in zip(rows.tests, bands, strict=True)
    ]


def _age_h(rows: _Rows, at: datetime) -> float:
    return round((at - rows.pour.placed_at).total_seconds() / 3600, 2)


def _cost(rows: _Rows, summary: PourSummaryResponse, now: datetime) -> costs.Costs | None:
    """Of what was logged; where no bag was, of those it needs."""
    if isinstance(rows.gathered, InputError):
        return None
    poured = [one.bags for one in rows.batches if one.bags] or [rows.pour.bags or 0.0]
    cast = costs.Cast(
        rows.pour,
        rows.place.timezone,
        sum(poured) or summary.bags_net or 0.0,
        _sealers(rows, rows.gathered.scenario),
        {row.step: row.at for row in rows.done},
        tuple(rows.protections),
        rows.work.work_of(rows.gathered.scenario, rows.done),
    )
    return costs.of_pour(cast, rows.shop, rows.end(now))


def _sealers(rows: _Rows, scenario: Scenario) -> tuple[costs.Litres, ...]:
    """What went on of each product, without waste: each coat that was given, of its own."""
    area_m2, done = coated_m2(scenario.shape), {one.step for one in scenario.done}
    products = zip(scenario.resolved().finish, (rows.sealer, *rows.then), strict=False)
    return tuple(
        costs.Litres(litres.sealer_l, None if row is None else row.price_l)
        for one, row in products
        for step, litres in zip(one.steps, litres_of_coats(area_m2, one.sheet), strict=True)
        if step in done
    )


def _sealer(rows: _Rows) -> Sealed:
    systems = [scenario_rows.sealer_of(one) for one in (rows.sealer, *rows.then)]
    try:
        shape = scenario_rows.shape_of(rows.piece)
    except InputError:
        shape = None
    base = shape is not None and shape.like != "panel"
    sheets = [one.resolved(base=base) for one in systems]
    names = [one.name for one in (rows.sealer, *rows.then) if one]
    kinds = [word("chemistry", one.chemistry) for one in systems if one.chemistry]
    done = {row.step for row in rows.done}
    return Sealed(
        name=", ".join(names) or "not told",
        chemistry=", ".join(kinds) or "not told",
        coats=sum(one.coats for one in sheets),
        coats_done=sum(registry.coat_number(step) is not None for step in done),
        litres_a_coat=None if shape is None else _litres(shape, sheets[0].coverage_m2_l),
        products=[
            SealedWith(
                name=row.name,
                chemistry=kind,
                coats=sheet.coats,
                litres_a_coat=None if shape is None else _litres(shape, sheet.coverage_m2_l),
            )
            for row, kind, sheet in zip(
                (one for one in (rows.sealer, *rows.then) if one), kinds, sheets, strict=False
            )
        ],
    )


def _litres(shape: Shape, m2_per_l: float) -> float:
    return round(litres_of_coat(coated_m2(shape), m2_per_l).sealer_l, 2)
