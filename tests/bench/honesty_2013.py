"""A shop's year of 2013, and what `castclock honesty` says of it.

    python tests/bench/honesty_2013.py [--pours N] [--seed S] [--data DIR]

Pours of the outside check (tests/support/outside_pours.py) go through the program as their maker
would log them, each at a place of its own with the forecast of its day and then the weather as it
came: poured, told, stripped, cubes broken after a day, three and seven, closed. What the cubes bear
and how the piece comes out is the outside truth, which nothing of the program makes. Every other
maker strips at 18 hours, whatever is told; the others when it is told to be safe.
The table and the picture are those of the command; DIR then holds the shop: `castclock honesty
--data DIR` prints the same. About 2 s of core a pour.
"""

import argparse
import sys
import tempfile
import time
from datetime import datetime, timedelta
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from service.actions.pours.log_pour import close_pour, log_pour
from service.actions.pours.mark_step_done import mark_step_done
from service.actions.pours.record_strength_test import record_strength_test
from service.actions.pours.tell_how import tell_came_out
from service.actions.record.honesty import read_honesty
from service.actions.shop.set_up_shop import open_shop, save_mix, save_piece, save_place
from service.actions.weather.place_air import run_of
from service.actions.windows.project_pour import project_pour
from service.answers import StepWindowResponse, read_answer
from service.cli import honesty_printed
from service.nouns.cover import ProtectionCreate
from service.nouns.pour import PourCreate
from service.nouns.strength_test import StrengthTestCreate
from service.store import Store
from tests.support.frost_pours import CRITICAL_ICE
from tests.support.outside_pours import CUBE_SD, LIVES_H, Pour, pours

HOUR = timedelta(hours=1)
CUBES_H = (24, 72, 168)
CLOCK_H = 18.0  # of who strips by the clock on the wall
LAST_H = 240
KNOWN = ("28 days", "early and 28", "early")
MOULD = {"length_mm": 1500.0, "width_mm": 420.0}


def replay(store: Store, pour: Pour, number: int) -> None:
    """One pour through the program, and what came of it."""
    known = KNOWN[number % len(KNOWN)]
    scenario, forecast, _ = pour.asked(known)
    with store.unit_of_work() as session:
        place = save_place(
            session,
            pour.at,
            {
                "name": f"yard {number}",
                "kind": pour.site.kind,
                "latitude": pour.site.latitude,
                "longitude": pour.site.longitude,
                "timezone": pour.site.timezone,
            },
        )
        label = [{"age_h": one.age_h, "MPa": one.MPa} for one in scenario.mixture.label]
        named = {"name": f"mix {number}", "kind": pour.tested.kind, "label": label}
        mix = save_mix(session, pour.at, named)
        measures = {**MOULD, "thickness_mm": pour.shape.thickness_mm}
        piece = save_piece(
            session, pour.at, {"name": f"slab {number}", "shape": "panel", **measures}
        )
        session.flush()
        session.add(run_of(forecast, place.id, pour.at))
        begins = pour.at + pour.cover.from_h * HOUR
        cover = ProtectionCreate(
            kind=pour.cover.kind, faces=pour.cover.faces or "top", from_at=begins
        )
        logged = log_pour(
            session,
            pour.at,
            PourCreate(
                mix_id=mix.id,
                piece_id=piece.id,
                place_id=place.id,
                placed_at=pour.at,
                concrete_C=pour.told_C,
                protections=[cover],
            ),
        )
        key, place_id = logged.id, place.id
    told = strip_of(store, key, pour.at)
    safe_h = (told.earliest.safe - pour.at) / HOUR if told.earliest.safe else 72.0
    strip_h = min(CLOCK_H if number % 2 else safe_h, LAST_H - 1.0)
    came = pour.lived(strip_h, np.inf, np.inf, last_h=min(LAST_H, LIVES_H))
    if came.ice > CRITICAL_ICE:  # told apart, and no case here
        with store.unit_of_work() as session:
            close_pour(session, pour.at + 30 * 24 * HOUR, key, "lost")
        return
    random = np.random.default_rng((pour.seed, 2))
    end = pour.at + LAST_H * HOUR
    with store.unit_of_work() as session:
        measured = pour.came.between(pour.came.start, end)
        session.add(run_of(measured, place_id, end))
    with store.unit_of_work() as session:
        for hour in CUBES_H:
            MPa = float(came.mean_MPa[hour] * np.exp(CUBE_SD * random.standard_normal()))
            if MPa > 0.2:
                at = pour.at + hour * HOUR
                wanted = StrengthTestCreate(kind="cube", MPa=round(MPa, 1), at=at)
                record_strength_test(session, end, key, wanted)
        mark_step_done(session, end, key, "strip", pour.at + strip_h * HOUR)
        bore = float(np.interp(strip_h, np.arange(len(came.corner_MPa)), came.corner_MPa))
        assert told.need is not None
        tell_came_out(session, key, "clean" if bore >= told.need.value else "chipped")
        close_pour(session, end, key, "finished")


def strip_of(store: Store, key: int, at: datetime) -> StepWindowResponse:
    """What the program tells of the strip when the pour has just been placed."""
    row = project_pour(store, at, key)
    assert row is not None
    return next(one for one in read_answer(row.answer).steps if one.step == "strip")


def replayed(store: Store, count: int, seed: int) -> datetime:
    """A shop with so many pours of 2013; the instant at which it is looked back at."""
    many = pours(count, seed)
    with store.unit_of_work() as session:
        open_shop(session, min(one.at for one in many), "America/New_York")
    for number, pour in enumerate(many):
        replay(store, pour, number)
    return max(one.at for one in many) + 40 * 24 * HOUR


def main() -> None:
    parser = argparse.ArgumentParser(description="What a shop's year says of its answers.")
    parser.add_argument("--pours", type=int, default=100)
    parser.add_argument("--seed", type=int, default=2013)
    parser.add_argument("--data", type=Path, help="a new folder; the shop stays there")
    asked = parser.parse_args()
    spent = time.process_time()
    with tempfile.TemporaryDirectory() as folder:
        data = asked.data or Path(folder)
        data.mkdir(parents=True, exist_ok=True)
        store = Store(f"sqlite:///{data / 'castclock.sqlite3'}")
        store.upgrade()
        now = replayed(store, asked.pours, asked.seed)
        found = read_honesty(store, now)
        store.close()
        print(honesty_printed.as_text(found))
        honesty_printed.draw(found, data / "honesty.svg")
    print(f"\n{asked.pours} pours, {time.process_time() - spent:.0f} s of core")


if __name__ == "__main__":
    main()
