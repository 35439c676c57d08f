"""The coat plan in words: the verdict, why not today, what a split would cost, what is missing."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from models.projection.clock import instant, said
from models.projection.scenario import Scenario
from models.quantile import quantile
from models.steps import coats, seal
from models.units import Array, Mask

CAUTIONS = (
    "The product's own sheet goes first.",
    "Measure before you begin: the face by infrared, air and humidity beside it.",
    "Seal while the piece cools, not while the sun warms it.",
    "Solvents and two-part sealers: fresh air, gloves, the mask of their safety sheet, no flame.",
)


def between(scenario: Scenario, under_h: float, ready_h: float, last_h: float) -> str:
    """Both ends of a recoat window."""
    text = (
        f"Not before {said(scenario, ready_h)}, {ready_h - under_h:.1f} h after the coat under it"
    )
    if not np.isfinite(ready_h):
        text = "The coat under it does not dry within the forecast"
    if np.isfinite(last_h):
        text += (
            f"; not after {said(scenario, last_h)} ({last_h - under_h:.0f} h), else abrade first"
        )
    return text + "."


def too_late(scenario: Scenario, last_h: float, now_h: float) -> str:
    """The recoat window is missed, or will be."""
    if now_h > last_h:
        return f"Too late for a bond since {said(scenario, last_h)}: abrade first, wipe, then coat."
    return (
        f"No hour up to {said(scenario, last_h)}, the end of the recoat window, holds:"
        " abrade first, wipe, then coat."
    )


def not_sure(share: float, chance: float) -> str:
    """A plan that holds in too few members."""
    return (
        f"no plan is {share:.0%} sure; as the forecast stands the chance is {chance:.0%}: measure"
        " before each coat"
    )


@dataclass(frozen=True)
class Day:
    """The words about one search."""

    scenario: Scenario
    at: seal.Sheet
    here: seal.Around
    hours: coats.Hours
    middle: coats.Hours
    left: range
    now_row: int
    ready_h: Array  # (members,)

    def says(self, plan: Sequence[tuple[int, bool, float]]) -> tuple[str, ...]:
        """Verdict first, then why not sooner, then what a split would cost.

        plan : row, whether it is sure, and the share that holds, of each coat
        """
        out = [self._verdict(plan)]
        today = self._today()
        ready = quantile(self.ready_h, self.hours.weight, 0.5)
        later = not plan or self._date(plan[0][0]) != self._date(self.now_row)
        if later and today and ready <= self.here.hour[today[-1]]:
            first = self._best_today()
            out += [self._why_not_today(first), self._split(first)]
        return tuple(text for text in out if text)

    def _verdict(self, plan: Sequence[tuple[int, bool, float]]) -> str:
        if not plan:
            return self._no_plan()
        groups = []
        for sure, words in ((True, "Sure"), (False, "As the forecast stands, not sure")):
            told = [
                f"coat {k} {said(self.scenario, float(self.here.hour[row]))}"
                for k, (row, one, _) in zip(self.left, plan, strict=False)
                if one is sure
            ]
            groups += [f"{words}: {', '.join(told)}"] if told else []
        rest = self.left[len(plan) :]
        beyond = f" From coat {rest[0]} on no hour of the forecast holds." if rest else ""
        chance = min(one[2] for one in plan)
        return (
            f"{'. '.join(groups)}. Chance that all of it holds: {chance:.0%}.{beyond}"
            f" {self._margin([row for row, _, _ in plan])}"
        )

    def _no_plan(self) -> str:
        ready = quantile(self.ready_h, self.hours.weight, 0.5)
        end = float(self.here.hour[-1])
        if ready > end:
            when = said(self.scenario, ready) if np.isfinite(ready) else "not within the plan"
            return (
                f"Dry and old enough: {when}; the forecast ends {said(self.scenario, end)} and no"
                " coat is planned beyond it."
            )
        best = float(coats.alone(self.hours)[self.now_row :].max(initial=0.0))
        return (
            "No run of hours in the forecast takes the coats left"
            f" (one coat by itself: chance {best:.0%} at best)."
        )

    def _margin(self, rows: Sequence[int]) -> str:
        """The tightest hour from the first coat to the end of the last one's hold."""
        end = min(rows[-1] + round(self.at.hold_h / self.here.step_h) + 1, len(self.here.hour))
        held = slice(rows[0], end)
        spread = np.median(self.here.face_C[held] - self.here.dew_point_C[held], axis=1)
        humid = np.median(self.here.rh[held], axis=1)
        return (
            f"Tightest by the forecast: face {spread.min():z.1f} K over the dew point,"
            f" humidity {humid.max():.0%}."
        )

    def _date(self, row: int) -> date:
        return instant(self.scenario, self.here.hour[row]).date()

    def _today(self) -> list[int]:
        today = self._date(self.now_row)
        rows = range(self.now_row, min(self.now_row + 50, len(self.here.hour)))
        return [r for r in rows if self._date(r) == today and self.hours.hand[r]]

    def _best_today(self) -> int | None:
        """The hour today for one coat by itself: the first sure one, else the best at even odds."""
        share = coats.alone(self.hours)
        today = self._today()
        sure = [row for row in today if share[row] >= self.scenario.rules.confidence - 1e-9]
        best = max(today, key=lambda row: float(share[row]), default=None)
        if sure or best is None or share[best] < 0.5:
            return sure[0] if sure else None
        return best

    def _why_not_today(self, first: int | None) -> str:
        today = self._today()
        if not today:
            return ""
        if first is None:
            names = self._named(today[0], today[-1])
            return f"Not today: {names}." if names else ""
        wait = int(np.ceil(self.middle.wait_h[first, 0] / self.here.step_h))
        more = len(self.left) > 1
        last = min(first + (wait if more else 0), len(self.here.hour) - 1)
        held = max(self.at.hold_h, float(self.middle.wait_h[last, 0]))
        broken = self._breaks(first, last, held)
        if not broken:
            return ""
        begin, end = (said(self.scenario, float(self.here.hour[r])) for r in (first, last))
        until = said(self.scenario, float(self.here.hour[last]) + held)
        if not more:
            return (
                f"Not today: coat {self.left[0]} at {begin} needs the air until {until}: {broken}."
            )
        return (
            f"Not all today: coat {self.left[0]} could go on at {begin}, but coat"
            f" {self.left[0] + 1} at {end} needs the air until {until}: {broken}."
        )

    def _split(self, first: int | None) -> str:
        """One coat today and the next on another day: what that asks for."""
        if first is None or len(self.left) < 2 or self.at.recoat_max_h is None:
            return ""
        limit = float(self.middle.limit_h[first, 0])
        last_h = float(self.here.hour[first]) + limit
        alive = np.ones(1, dtype=np.bool_)
        after = coats.holding_after(self.middle, first, 0.0, 0.0, alive)[:, 0]
        good = after & (coats.alone(self.middle) >= 1.0) & self.hours.hand
        if good.any():
            return ""
        number, begin = self.left[0], said(self.scenario, float(self.here.hour[first]))
        return (
            f"Split over two days, coat {number} today at {begin}, coat {number + 1} would be due"
            f" by {said(self.scenario, last_h)} ({limit:.0f} h) and no hour up to then holds: it"
            " would have to be abraded first."
        )

    def _even(self) -> dict[str, Mask]:
        named = dict(seal.conditions(self.here, self.at))
        named["rain"] = seal.dry(self.here)
        return {name: self.hours.shares(mask) >= 0.5 for name, mask in named.items()}

    def _words(self) -> dict[str, str]:
        return {
            "spread": f"the face comes within {self.at.dew_margin_K:.1f} K of the dew point",
            "humidity": f"humidity passes {self.at.max_rh:.0%}",
            "cold": f"the face is under {self.at.min_C:.3g} C",
            "hot": f"the face is over {self.at.max_C:.3g} C",
            "rain": "rain falls on it",
        }

    def _breaks(self, first: int, last: int, held_h: float) -> str:
        """What fails from the first coat to the end of the last one's hold, and when first."""
        end = min(last + int(np.ceil(held_h / self.here.step_h)) + 1, len(self.here.hour))
        words, out = self._words(), []
        for name, good in self._even().items():
            bad = np.flatnonzero(~good[first:end])
            if len(bad):
                out.append((int(bad[0]), f"{words[name]} {self._from(first + int(bad[0]))}"))
        return "; ".join(text for _, text in sorted(out))

    def _from(self, row: int) -> str:
        return f"from {said(self.scenario, float(self.here.hour[row]))}"

    def _named(self, first: int, last: int) -> str:
        """What fails over the hours of a day, without the hours."""
        words = self._words()
        even = self._even()
        names = [words[name] for name, good in even.items() if not good[first : last + 1].all()]
        if self.hours.shares(self.hours.begin)[first : last + 1].max() < 0.5 and not names:
            return "the piece is not dry or old enough, the sun is on it, or it is too hot"
        return "; ".join(names)
