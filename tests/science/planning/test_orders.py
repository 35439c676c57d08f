"""Orders over few moulds: courses made up, so that every hour can be told by hand."""

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, datetime, time, timedelta
from types import ModuleType

import numpy as np
import pytest

from models.air.place import Site
from models.air.series import AirSeries
from models.concrete.mixture import Mixture
from models.errors import InputError, Unknown
from models.message import Message
from models.piece.shape import Shape
from models.planning import courses as following
from models.planning import mould_plan, orders, promises, shop_plan
from models.planning.courses import Course, Courses, Kind, Work, Works, courses
from models.planning.orders import MouldThere, Order, Part, Pin, Shop
from models.planning.working_day import WorkingDays
from models.simulation.scenario import Placement, Scenario

NOW = datetime(2025, 10, 6, 6, tzinfo=UTC)  # a Monday
MEMBERS = 20
WORKS = Works(Work(60), Work(30), Work(20, 3), Work(60), Work(30))


def shop(hands: int = 2, days: tuple[int, ...] = (0, 1, 2, 3, 4, 5, 6)) -> Shop:
    return Shop(WorkingDays(NOW, "UTC", (time(7), time(17)), days), hands)


def kind(key: str = "bench", air: AirSeries | Unknown | None = None) -> Kind:
    scenario = Scenario(
        key,
        Site("unheated room", 41.5, -74.0, timezone="UTC"),
        Mixture("general-purpose"),
        Shape("panel", 900.0, 400.0, 50.0),
        Placement(NOW),
    )
    nothing = Message("the_weather")
    return Kind(key, scenario, air or Unknown(nothing, nothing, nothing), WORKS)


def made_up(firm_h: float = 30.0, spread: float = 0.0, starts: int = 8) -> Courses:
    """A start each morning at seven; members let go after firm_h, the slower ones later."""
    slower = 1 + spread * np.linspace(-1, 1, MEMBERS)
    found = []
    for day in range(starts):
        at_h = 24.0 * day + 1
        strip_h = at_h + firm_h * slower
        free_h = float(np.quantile(strip_h, 0.9))
        found.append(
            Course(at_h, Message("way_bare"), free_h, free_h + 20, strip_h, strip_h + 40.0)
        )
    return Courses(tuple(found), {}, None, NOW + timedelta(days=starts))


def order(count: int = 2, days: float = 6, **told: object) -> Order:
    due = NOW + timedelta(days=days)
    return Order("fair", due, (Part("bench", count),), **told)  # type: ignore[arg-type]


def solved(
    wanted: Order, found: Courses, here: Shop, moulds: int = 1
) -> tuple[orders.Asked, mould_plan.Solution]:
    there = [MouldThere(f"mould {k}", ("bench",)) for k in range(moulds)]
    asked = orders.asked(here, [wanted], there, {"bench": kind()}, {"bench": found})
    return asked, mould_plan.solve(asked.problem)


def test_the_second_piece_waits_for_the_mould_and_its_cleaning() -> None:
    asked, found = solved(order(), made_up(firm_h=22.0), shop())
    picked = [
        c.choices[p]
        for c, p in zip(asked.problem.castings, found.picks, strict=True)
        if p is not None
    ]
    first, second = sorted(one.at_h for one in picked)
    assert first == 1.0
    assert second == 49.0  # let go at 23 h, in the night; struck at seven, clean at eight


def test_in_no_member_are_two_pieces_in_one_mould() -> None:
    asked, found = solved(order(3, 5), made_up(26.0, 0.3), shop())
    went = [one for one in promises.gone(asked.problem, found.picks) if one is not None]
    went.sort(key=lambda one: float(np.min(one.poured_h)))
    waited = False
    for before, after in zip(went, went[1:], strict=False):
        poured = np.isfinite(after.poured_h)
        assert (after.poured_h[poured] >= before.free_h[poured]).all()
        waited |= bool((after.poured_h != after.poured_h[0]).any())
    assert waited, "no member is slow enough to try it"


def test_a_promise_is_later_and_less_sure_where_members_differ() -> None:
    def told(spread: float) -> promises.Promise:
        wanted = order(2, 3.2)
        asked, found = solved(wanted, made_up(spread=spread), shop(), moulds=2)
        went = promises.gone(asked.problem, found.picks)
        (one,) = promises.promises(shop(), [wanted], asked.problem, went, ["bench"] * 2, {})
        return one

    sharp, wide = told(0.0), told(0.4)
    assert sharp.at_even is not None
    assert wide.at_sure is not None
    assert sharp.at_even == sharp.at_sure
    assert wide.at_sure > sharp.at_sure
    assert 0 < (wide.late or 0) < 1
    assert sharp.late in (0.0, 1.0)


def test_what_is_poured_together_is_poured_on_one_day() -> None:
    asked, found = solved(order(2, together=True), made_up(), shop(), moulds=2)
    days = {
        c.choices[p].day
        for c, p in zip(asked.problem.castings, found.picks, strict=True)
        if p is not None
    }
    assert len(days) == 1
    assert None not in found.picks
    alone, left = solved(order(2, together=True), made_up(), shop(), moulds=1)
    assert left.picks.count(None) == 1, "one mould cannot hold two on one day"
    assert mould_plan.allowed(alone.problem, left.picks)


def test_one_pair_of_hands_does_one_thing_at_a_time() -> None:
    found = made_up(starts=1)  # one start, two moulds
    _, alone = solved(order(2), found, shop(hands=1), moulds=2)
    _, both = solved(order(2), found, shop(hands=2), moulds=2)
    assert alone.picks.count(None) == 1
    assert None not in both.picks


def test_nobody_works_on_a_day_off() -> None:
    days = shop(days=(0, 1, 2, 3, 4)).days
    saturday = days.hour(datetime(2025, 10, 11, 9, tzinfo=UTC))
    assert days.at(float(days.soonest(np.array(saturday)))) == datetime(2025, 10, 13, 7, tzinfo=UTC)
    assert days.starts(5, 1.0) == []
    assert not days.works_through(days.hour(datetime(2025, 10, 6, 16, 30, tzinfo=UTC)), 1.0)
    with pytest.raises(InputError, match="working_days"):
        shop(days=())


def test_a_pinned_pour_stays_where_its_maker_put_it() -> None:
    at = NOW + timedelta(hours=73)
    pinned = Part("bench", 2, (Pin(2, "mould 0", at),))
    asked, found = solved(replace(order(), parts=(pinned,)), made_up(), shop())
    chosen = asked.problem.castings[1].choices[found.picks[1] or 0]
    assert found.picks[1] is not None
    assert (chosen.at_h, chosen.mould) == (73.0, "mould 0")


def test_without_weather_nothing_is_promised_and_it_says_why() -> None:
    found = shop_plan.plan(shop(), [order()], [MouldThere("m", ("bench",))], {"bench": kind()})
    assert found.poured == ()
    assert {one.why.code for one in found.left_out} == {"unknown"}
    (told,) = found.promises
    assert (told.at_even, told.at_sure, told.late) == (None, None, None)
    assert told.why is not None
    assert told.why.code == "plan_part_left_out"


def test_a_shop_of_nothing_says_what_is_missing() -> None:
    empty = shop_plan.plan(shop(), [], [], {})
    assert [one.code for one in empty.lacks] == ["plan_no_orders"]
    with pytest.raises(InputError, match="bench"):
        shop_plan.plan(shop(), [order()], [], {})


def test_a_piece_without_a_mould_says_so() -> None:
    asked = orders.asked(shop(), [order()], [], {"bench": kind()}, {"bench": made_up()})
    why = orders.why_left_out(shop(), asked, asked.pieces[0], [], kind())
    assert why.code == "plan_no_mould"


def test_a_sunny_fortnight_is_planned_by_the_engine() -> None:
    """From the weather to the promise, once, with few members and three days of starts."""
    hours = 24 * 10
    same = np.ones(hours)
    air = AirSeries(
        NOW - timedelta(hours=96),
        18 + 4 * np.sin(2 * np.pi * (np.arange(hours) - 9) / 24),
        10 * same,
        2 * same,
        0 * same,
        0.3 * same,
        np.nan * same,
        NOW,
        "made up",
    )
    here = shop()
    warm = courses(kind(air=air), here.days, many=16)
    assert warm.why is None
    assert len(warm.found) >= 4
    for one in warm.found:
        assert one.free_h > one.at_h
        assert (one.ready_h >= one.strip_h).all()
    told = shop_plan.plan(
        here, [order(1, 9)], [MouldThere("m", ("bench",))], {"bench": kind(air=air)}, gains=False
    )
    assert len(told.poured) == 1
    (promise,) = told.promises
    assert promise.at_even is not None
    assert promise.at_sure is not None
    assert promise.at_even <= promise.at_sure
    assert [act.act for act in told.acts] == ["pour", "strip", "turn", "finish"]
    assert told.acts[2].short, "three people turn it, and there are two"


def test_a_mould_rests_for_its_turnaround_and_hands_are_free_meanwhile() -> None:
    mould = MouldThere("m", ("bench",), turnaround_h=40.0)
    known = {"bench": made_up()}
    asked = orders.asked(shop(), [order(2)], [mould], {"bench": kind()}, known)
    for choice in asked.problem.castings[0].choices:
        struck = orders.struck(choice)
        assert struck.to_h == struck.from_h + WORKS.strip.hours + WORKS.clean.hours
        (held,) = [one for one in choice.claims if one.what == ("mould", "m")]
        assert held.to_h == struck.from_h + WORKS.strip.hours + 40.0
        assert (choice.free_h >= held.to_h).all(), "in no member sooner"
    solved = mould_plan.solve(asked.problem)
    starts = sorted(
        one.choices[pick].at_h
        for one, pick in zip(asked.problem.castings, solved.picks, strict=True)
        if pick is not None
    )
    assert len(starts) == 2
    assert starts[1] - starts[0] >= 30.0 + 40.0


def covered(kind: str = "blanket", firm_h: float = 30.0, starts: int = 8) -> Courses:
    """Each start lies under a cover for two nights, longer than it holds its mould."""
    found = made_up(firm_h, starts=starts)
    laid = tuple(replace(c, covers=((kind, c.at_h + 1, c.at_h + 47),)) for c in found.found)
    return replace(found, found=laid)


def poured_h(asked: orders.Asked, found: mould_plan.Solution) -> list[float]:
    both = zip(asked.problem.castings, found.picks, strict=True)
    return sorted(one.choices[pick].at_h for one, pick in both if pick is not None)


def test_one_blanket_lies_on_one_piece_at_a_time() -> None:
    def starts(kind: str = "blanket", **told: object) -> list[float]:
        here = replace(shop(), **told)  # type: ignore[arg-type]
        return poured_h(*solved(order(2), covered(kind), here, moulds=2))

    assert starts() == [1.0, 1.0], "nobody counted them"
    assert starts(covers={"blanket": 2}) == [1.0, 1.0]
    assert starts(covers={"blanket": 1}) == [1.0, 49.0]
    assert starts("two blankets", covers={"blanket": 3}) == [1.0, 49.0]
    assert starts(covers={"blanket": 2}, lying=(("blanket", 0.0, 30.0),)) == [1.0, 49.0]
    assert starts(covers={"blanket": 2}, lying=(("foam", 0.0, np.inf),)) == [1.0, 1.0]
    later = (("blanket", 10.0, 60.0),)  # told for tomorrow
    assert starts(covers={"blanket": 2}, lying=later) == [1.0, 49.0]


def test_the_greedy_plan_lays_no_cover_twice_either() -> None:
    here = replace(shop(), covers={"blanket": 1}, lying=(("blanket", 0.0, 20.0),))
    asked, _ = solved(order(2), covered(), here, moulds=2)
    assert poured_h(asked, mould_plan.greedy(asked.problem)) == [25.0, 73.0]


def test_what_has_no_cover_left_says_so() -> None:
    def why(kinds: str, **told: object) -> Message:
        here = replace(shop(), **told)  # type: ignore[arg-type]
        asked, found = solved(order(1), covered(kinds), here)
        assert found.picks == (None,)
        there = [MouldThere("mould 0", ("bench",))]
        return orders.why_left_out(here, asked, asked.pieces[0], there, kind())

    few = why("two blankets", covers={"blanket": 1})
    assert (few.code, few.values["needs"], few.values["there"]) == ("plan_too_few_covers", 2, 1)
    out = why("blanket", covers={"blanket": 1}, lying=(("blanket", 0.0, np.inf),))
    assert out.code == "plan_covers_taken"


def test_one_more_blanket_is_one_more_where_they_are_counted(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(shop_plan, "courses", lambda *_: covered())
    there = [MouldThere(f"mould {k}", ("bench",)) for k in range(2)]
    known = {"bench": kind()}

    def gains(here: Shop) -> dict[str, float]:
        told = shop_plan.plan(here, [order(2, 3.5)], there, known)
        return {one.what: one.saved_h + one.sooner_h for one in told.gains}

    assert gains(replace(shop(), covers={"blanket": 1}))["one_blanket"] > 20.0
    assert "one_blanket" not in gains(replace(shop(), covers={"blanket": 2}))
    assert "one_blanket" not in gains(shop())


def test_a_count_of_what_is_made_of_others_is_refused() -> None:
    with pytest.raises(InputError, match="two blankets"):
        replace(shop(), covers={"two blankets": 1})


def test_the_bench_of_the_planner_runs(
    loaded: Callable[[str], ModuleType],
    monkeypatch: pytest.MonkeyPatch,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """A short sample of `python tests/bench/bench_planner.py`: its own code, one kind of piece."""
    bench = loaded("bench/bench_planner.py")
    few = [Order("first", bench.ASKED + timedelta(days=9), (Part("leg", 2),))]
    monkeypatch.setattr(bench, "SHAPES", {"leg": bench.SHAPES["leg"]})
    monkeypatch.setattr(bench, "wanted", lambda: few)
    monkeypatch.setattr(shop_plan, "_gains", lambda *_: ())
    monkeypatch.setattr(following, "DAYS", 5)
    monkeypatch.setattr(following, "MEMBERS", 16)
    bench.main()
    told = capsys.readouterr().out
    assert "2 pieces" in told
    assert "left out" not in told
    assert told.count("leg        for first") == 2
    assert "first: due Wed 15, even odds 2025-10-" in told
