"""The coat plan as a short list: which coat, from when to when, why, how many litres."""

from dataclasses import dataclass

from models.steps import registry
from service.answers import CoatPlanResponse, PlannedCoatResponse
from service.pages import view


@dataclass(frozen=True)
class CoatView:
    """One coat of the plan."""

    title: str
    at: view.Moment | None
    until: view.Moment | None
    hold_until: view.Moment | None
    touch: view.Moment | None
    litres: str
    chance: str
    why: str
    done: view.Moment | None


@dataclass(frozen=True)
class CoatsView:
    """The plan, and the litres for what is left of it."""

    sealer: str
    coats: tuple[CoatView, ...]
    says: tuple[str, ...]
    area: str
    net: str
    litres: str
    left: int


def coats(plan: CoatPlanResponse | None, clock: view.Clock) -> CoatsView | None:
    """The plan of a stored reckoning; None for one that was made before plans were told."""
    if plan is None:
        return None
    rows = tuple(_coat(one, clock) for one in plan.coats)
    return CoatsView(
        plan.sealer,
        rows,
        tuple(plan.says),
        view.both(plan.area_m2, "area_m2"),
        view.both(plan.net_l, "volume_l"),
        view.both(plan.litres_l, "volume_l"),
        sum(row.done is None for row in rows),
    )


def _coat(one: PlannedCoatResponse, clock: view.Clock) -> CoatView:
    sealer = view.both(one.sealer_l, "volume_l")
    water = view.both(one.water_l, "volume_l") if one.water_l else ""
    number = registry.coat_number(one.step)
    return CoatView(
        f"Coat {number}{', thinned' if water else ''}",
        clock(one.at),
        clock(one.until),
        clock(one.hold_until),
        clock(one.touch_dry),
        f"{sealer}, with water {water}" if water else sealer,
        f"{one.chance:.0%}",
        one.why,
        clock(one.done_at),
    )
