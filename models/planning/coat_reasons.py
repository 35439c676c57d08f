"""What is to be said of the coat plan: the verdict, why not today, what a split would cost."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

import numpy as np

from models.facts.sealers import Sheet
from models.message import Message, Sentence, Value
from models.simulation.scenario import Scenario
from models.steps import coats, seal
from models.units import Mask

CAUTIONS = (
    Message("coat_sheet_first"),
    Message("coat_measure_first"),
    Message("coat_while_cooling"),
    Message("coat_solvents"),
)
NONE_PLANNED = Message("coat_hours_unplanned")
NO_FORECAST = Message("coats_no_forecast")
MISSED = Message("coat_missed")
ORDER = ("humidity", "rain", "spread", "hot", "cold")  # of what fails in the same half hour


def between(scenario: Scenario, under_h: float, ready_h: float, last_h: float) -> Message:
    """Both ends of a recoat window; infinite: it does not dry, or has no end."""
    code = "recoat_from" if np.isfinite(ready_h) else "recoat_not_dry"
    values: dict[str, Value] = {}
    if np.isfinite(ready_h):
        values = {"ready_at": scenario.clock(ready_h), "after_h": ready_h - under_h}
    if np.isfinite(last_h):
        code += "_until"
        values |= {"last_at": scenario.clock(last_h), "limit_h": last_h - under_h}
    return Message(code, values)


def too_late(scenario: Scenario, last_h: float, now_h: float) -> Message:
    """The recoat window is missed, or will be."""
    code = "recoat_too_late" if now_h > last_h else "recoat_will_be_late"
    return Message(code, {"last_at": scenario.clock(last_h)})


def not_sure(confidence: float, chance: float) -> Message:
    """Why a coat that has an hour is not called safe: its chance is too small; or it goes on surely
    enough, and only the hours after it or the reserve of its window do not hold."""
    in_hand = chance >= confidence - seal.ROUNDING
    code = "coats_not_sure_in_hand" if in_hand else "coats_not_sure_enough"
    return Message(code, {"confidence": confidence, "chance": chance})


def limits(sheet: Sheet, last: bool) -> Message:
    """The air that a coat asks for, and how long it has to hold."""
    return Message(
        "coat_limits_last" if last else "coat_limits",
        {
            "max_rh": sheet.max_rh,
            "min_C": sheet.min_C,
            "max_C": sheet.max_C,
            "hold_h": sheet.hold_h,
            "rain_free_h": sheet.rain_free_h,
        },
    )


def limit(sheet: Sheet, name: str) -> Message:
    """That a condition of the air fails; name : of ORDER."""
    values: dict[str, dict[str, Value]] = {
        "spread": {"margin_K": sheet.dew_margin_K},
        "humidity": {"max_rh": sheet.max_rh},
        "cold": {"min_C": sheet.min_C},
        "hot": {"max_C": sheet.max_C},
        "rain": {},
    }
    return Message(f"coat_fails_{name}", values[name])


@dataclass(frozen=True)
class CoatRow:
    """One coat of a plan on the grid: its row, the run of rows about it, how many members hold."""

    row: int
    begins: int
    ends: int
    chance: float
    safe: bool


@dataclass(frozen=True)
class Outlook:
    """The half hours of a search as they stand for the coats left.

    hours, middle : of all members, and of one who takes each thing at even odds
    ready_h : hour from placing at which the piece is ready at even odds [h]
    """

    scenario: Scenario
    sheet: Sheet
    local: seal.LocalConditions
    hours: coats.Hours
    middle: coats.Hours
    left: range
    now_row: int
    ready_h: float

    def says(self, plan: Sequence[CoatRow]) -> Sentence:
        """Verdict first, then why not sooner, then what a split would cost."""
        out = [self._verdict(plan) if plan else self._no_plan()]
        today = self._today()
        later = not plan or self._date(plan[0].row) != self._date(self.now_row)
        if later and today and self.ready_h <= self.local.hour[today[-1]]:
            first = self._best_today()
            out += [*self._why_not_today(first), *self._split(first)]
        return tuple(out)

    def _verdict(self, plan: Sequence[CoatRow]) -> Message:
        groups = []
        together = min((one.chance for one in plan if one.safe), default=0.0)
        sure = together >= self.scenario.rules.confidence - seal.ROUNDING  # of all of them
        by_itself = "coats_sure" if sure else "coats_sure_by_itself"
        for safe, code in ((True, by_itself), (False, "coats_as_forecast")):
            listed = tuple(
                Message("coat_at", {"coat": k, "at": self._at(one.row)})
                for k, one in zip(self.left, plan, strict=False)
                if one.safe is safe
            )
            groups += [Message(code, {"coats": listed})] if listed else []
        rest = self.left[len(plan) :]
        return Message(
            "coats_planned",
            {
                "groups": tuple(groups),
                "chance": min(one.chance for one in plan),
                "beyond": (Message("coats_beyond", {"coat": rest[0]}),) if rest else (),
                "tightest": self._margin([one.row for one in plan]),
            },
        )

    def _no_plan(self) -> Message:
        end = float(self.local.hour[-1])
        if self.ready_h > end:
            ready_at, end_at = self.scenario.clock(self.ready_h), self.scenario.clock(end)
            return Message("coats_after_forecast", {"ready_at": ready_at, "end_at": end_at})
        best = float(coats.alone(self.hours)[self.now_row :].max(initial=0.0))
        return Message("coats_no_run", {"best_chance": best})

    def _margin(self, rows: Sequence[int]) -> Message:
        """The tightest hour from the first coat to the end of the last one's hold."""
        end = min(rows[-1] + round(self.sheet.hold_h / self.local.step_h) + 1, len(self.local.hour))
        span = slice(rows[0], end)
        spread = np.median(self.local.face_C[span] - self.local.dew_point_C[span], axis=1)
        humid = np.median(self.local.rh[span], axis=1)
        values = {"spread_K": float(spread.min()), "most_rh": float(humid.max())}
        return Message("coats_tightest", values)

    def _at(self, row: int, more_h: float = 0.0) -> datetime | None:
        return self.scenario.clock(float(self.local.hour[row]) + more_h)

    def _date(self, row: int) -> date:
        return self.scenario.instant(self.local.hour[row]).date()

    def _today(self) -> list[int]:
        today = self._date(self.now_row)
        rows = range(self.now_row, min(self.now_row + 50, len(self.local.hour)))
        return [r for r in rows if self._date(r) == today and self.hours.hand[r]]

    def _best_today(self) -> int | None:
        """The hour today for one coat by itself: the first sure one, else the best at even odds."""
        fraction = coats.alone(self.hours)
        today = self._today()
        safe = [row for row in today if fraction[row] >= self.scenario.rules.confidence - 1e-9]
        best = max(today, key=lambda row: float(fraction[row]), default=None)
        if safe or best is None or fraction[best] < 0.5:
            return safe[0] if safe else None
        return best

    def _why_not_today(self, first: int | None) -> Sentence:
        today = self._today()
        if not today:
            return ()
        if first is None:
            names = self._named(today[0], today[-1])
            return (Message("coats_not_today", {"fails": names}),) if names else ()
        wait = int(np.ceil(self.middle.wait_h[first, 0] / self.local.step_h))
        more = len(self.left) > 1
        last = min(first + (wait if more else 0), len(self.local.hour) - 1)
        hold_h = max(self.sheet.hold_h, float(self.middle.wait_h[last, 0]))
        fails = self._breaks(first, last, hold_h)
        if not fails:
            return ()
        return (
            Message(
                "coats_not_all_today" if more else "coat_not_today",
                {
                    **self._pair(first),
                    "next_at": self._at(last),
                    "until_at": self._at(last, hold_h),
                    "fails": fails,
                },
            ),
        )

    def _split(self, first: int | None) -> Sentence:
        """One coat today and the next on another day: what that asks for."""
        if first is None or len(self.left) < 2 or self.sheet.recoat_max_h is None:
            return ()
        limit = float(self.middle.limit_h[first, 0])
        alive = np.ones(1, dtype=np.bool_)
        after = coats.holding_after(self.middle, first, 0.0, 0.0, alive)[:, 0]
        good = after & (coats.alone(self.middle) >= 1.0) & self.hours.hand
        if good.any():
            return ()
        return (
            Message(
                "coats_split",
                {**self._pair(first), "due_at": self._at(first, limit), "limit_h": limit},
            ),
        )

    def _pair(self, first: int) -> dict[str, Value]:
        """The next coat, begun at a row, and the one after it."""
        number = self.left[0]
        return {"coat": number, "next_coat": number + 1, "begin_at": self._at(first)}

    def _even(self) -> dict[str, Mask]:
        named = dict(seal.conditions(self.local, self.sheet))
        named["rain"] = seal.dry(self.local)
        return {name: self.hours.fractions(mask) >= 0.5 for name, mask in named.items()}

    def _breaks(self, first: int, last: int, hold_h: float) -> Sentence:
        """What fails from the first coat to the end of the last one's hold, and when first."""
        end = min(last + int(np.ceil(hold_h / self.local.step_h)) + 1, len(self.local.hour))
        even, found = self._even(), []
        for order, name in enumerate(ORDER):
            bad = np.flatnonzero(~even[name][first:end])
            if len(bad):
                found.append((int(bad[0]), order, name))
        return tuple(
            Message(
                "coat_fails_from", {"fails": limit(self.sheet, name), "at": self._at(first + row)}
            )
            for row, _, name in sorted(found)
        )

    def _named(self, first: int, last: int) -> Sentence:
        """What fails over the hours of a day, without the hours."""
        even = self._even()
        names = [
            limit(self.sheet, name)
            for name, good in even.items()
            if not good[first : last + 1].all()
        ]
        if self.hours.fractions(self.hours.begin)[first : last + 1].max() < 0.5 and not names:
            return (Message("coat_fails_piece"),)
        return tuple(names)
