"""Which notices are owed for a pour: rows that move with the windows until they are sent.

What is done about a notice stands in the tables of `reminder_states.py`; here is how it is done.
"""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlmodel import Session

from models.message import Message
from models.records import Pour, Reminder, Shop
from models.results import ALERTS, Alert, Projection, StepWindow
from models.steps import registry
from service import answers
from service.actions.notices import quiet_hours
from service.actions.notices import reminder_states as states
from service.actions.notices.channels import listeners
from service.actions.notices.quiet_hours import FUMES, Hours, OwnRules, rules_of, set_hours
from service.actions.windows.standing import opens
from service.answer_fields import as_json
from service.queries import reminders
from service.words import Reader

MOVED = timedelta(minutes=30)
STANDS_FOR = timedelta(days=3)  # an open window without an end is told up to this late
AT_ONCE_FOR = timedelta(hours=12)
LONGEST_LEAD = timedelta(hours=2)  # ahead of a closing end, else a quarter of the window
AHEAD = ("not yet", "open", "closing")
LOGGED_LATE = timedelta(hours=1)  # after the pour
FROZEN = "frozen"
KINDS = {FUMES: "frost", FROZEN: "frost"}  # kinds of rows are few: these go as loudly as frost
FROZE = "frost_froze"  # the warning of a piece that froze
SOONER = timedelta(hours=1)
ANOTHER_NIGHT = timedelta(hours=20)
LASTING = tuple(step.key for step in registry.STEPS if step.lasting)  # for no forecast's sake
Rows = dict[tuple[str, str], list[Reminder]]


@dataclass(frozen=True)
class About:
    """What a projection is about: the piece, why its windows moved, whether the maker acted."""

    piece: str
    why_moved: dict[str, Any] | None = None
    acted: bool = False


@dataclass(frozen=True)
class _Planner:
    session: Session
    now: datetime
    pour: Pour
    what: About
    shop: Shop
    reader: Reader
    rows: Rows
    listeners: tuple[OwnRules, ...]  # of whoever takes notices

    def current(self, step: str, kind: str) -> Reminder | None:
        rows = self.rows.get((step, kind))
        return max(rows, key=lambda row: row.round) if rows else None

    def reached_nobody(self, row: Reminder) -> bool:
        """Whether it ended unheard, and there is somebody to tell now."""
        return row.state in states.UNHEARD and any(
            quiet_hours.is_wanted(row, one) for one in self.listeners
        )

    def plan(self, row: Reminder, hours: Hours) -> None:
        set_hours(row, self.now, hours, self.listeners, rules_of(self.shop))

    def facts(self, window: StepWindow, **more: Any) -> dict[str, Any]:
        body = answers.step(window, self.reader).model_dump(mode="json")
        values = {"latest": body["latest"], "missed": body["missed_code"]}
        values |= {"cautions": body["caution_codes"], **body["earliest"]}
        values["confidence"] = window.level or self.shop.confidence
        return self.about(window.step, body["reasons"], **values, **more)

    def about(self, step: str, because: list[dict[str, Any]], **more: Any) -> dict[str, Any]:
        """What every notice carries: codes and values, worded when it is sent."""
        return {
            "piece": self.what.piece,
            "step": step,
            "because": because,
            "cautions": [],
            "confidence": self.shop.confidence,
            "placed_at": self.pour.placed_at.isoformat(),
            **more,
        }


def plan(
    session: Session,
    now: datetime,
    pour: Pour,
    projection: Projection,
    reader: Reader,
    shop: Shop,
    about: About,
) -> bool:
    """Bring the rows in line with a projection; nothing that was sent is rewritten.

    Returns whether a notice was being sent meanwhile and so was left alone.
    """
    rows: Rows = defaultdict(list)
    for row in reminders.of_pour(session, pour.id):
        if row.state == "expired" and row.done_at is not None and row.done_at > now:
            row.state, row.done_at = "waiting", None  # by a clock that was ahead
        rows[row.step, row.kind].append(row)
    somebody = tuple(one.rules for one in listeners(session))
    planner = _Planner(session, now, pour, about, shop, reader, rows, somebody)
    late = not rows and pour.created_at - pour.placed_at > LOGGED_LATE
    for window in projection.steps:
        _plan_opening(planner, window)
        _plan_closing(planner, window)
    if late:
        _tell_what_is_open(planner, projection.steps)
    steps = {window.step for window in projection.steps}
    for (step, kind), some in rows.items():
        if kind in ("opens", "closes") and step not in steps:
            for row in some:
                states.follow(row, "over", now)
    froze = any(window.state == "frozen" for window in projection.steps)
    _plan_alerts(planner, projection.alerts, quietly=about.acted or froze)
    _plan_frozen(planner, [one for one in projection.warnings if froze and one.code == FROZE])
    return any(states.in_flight(row, now) for some in rows.values() for row in some)


def cancel_step(session: Session, now: datetime, pour_id: int, step: str) -> None:
    """The step is done: nothing more is owed about it."""
    for row in reminders.of_pour(session, pour_id):
        if row.step == step:
            states.follow(row, "over", now)


def cancel_all(session: Session, now: datetime, pour_id: int, but: tuple[str, ...] = ()) -> None:
    """The pour is closed; what lasts of a finished piece is still owed."""
    for row in reminders.of_pour(session, pour_id):
        if row.step not in but:
            states.follow(row, "over", now)


def _plan_opening(planner: _Planner, window: StepWindow) -> None:
    row = planner.current(window.step, "opens")
    known = opens(window) if _is_next(window) else None
    news = _news(planner, window, row, known)
    if news != "over":
        _follow_withdrawal(planner, window.step, stands=known is None or known > planner.now)
    act = states.OPENS.get((states.standing(row, planner.now), news))
    if act == "repeat" and row is not None and known is not None:
        still_news = planner.reached_nobody(row) and planner.now <= known + STANDS_FOR
        act = "move" if still_news else None
    _do(planner, act, row, window, "opens", known)


def _tell_what_is_open(planner: _Planner, windows: tuple[StepWindow, ...]) -> None:
    """Of a pour that was logged late, once: the first open window, unless its end is told."""
    for window in windows:
        at = opens(window) if _is_next(window) and window.state != "not yet" else None
        if at is not None and _news(planner, window, None, at) == "here":
            if planner.current(window.step, "closes") is None:
                _owe(planner, window, "opens", at, 1)
            return


def _plan_closing(planner: _Planner, window: StepWindow) -> None:
    row = planner.current(window.step, "closes")
    has_hours = _is_next(window) and opens(window) is not None
    known = window.latest if has_hours else None
    act = states.CLOSES.get((states.standing(row, planner.now), _news(planner, window, row, known)))
    _do(planner, act, row, window, "closes", known)


def _news(
    planner: _Planner, window: StepWindow, row: Reminder | None, known: datetime | None
) -> str:
    """over | unknown | later (than what was told, by half an hour) | ahead | here."""
    gone = window.latest is not None and window.latest <= planner.now
    if gone or window.state in ("done", "past"):
        return "over"
    if known is None:
        return "unknown"
    if row is not None and row.state == states.SENT and known > row.window_at + MOVED:
        return "later"
    return "ahead" if known > planner.now else "here"


def _do(
    planner: _Planner,
    act: str | None,
    row: Reminder | None,
    window: StepWindow,
    kind: str,
    known: datetime | None,
) -> None:
    """What a table says of a notice of a window."""
    count = row.round + 1 if row is not None else 1
    if row is not None and act == "cancel":
        states.follow(row, "over", planner.now)
    elif row is not None and act == "hold":
        if row.state in states.AFTER["no hour"]:
            row.facts = planner.facts(window)
        states.follow(row, "no hour", planner.now)
    elif row is not None and act == "move" and known is not None:
        _move(planner, row, window, known)
    elif row is not None and act in ("withdraw", "withdraw and owe"):
        _withdraw(planner, row, window)
    if act in ("owe", "withdraw and owe") and known is not None:
        _owe(planner, window, kind, known, count)


def _follow_withdrawal(planner: _Planner, step: str, *, stands: bool) -> None:
    """One that reached nobody is sent again while it stands; when the step is open none is."""
    row = planner.current(step, "correction")
    if row is None:
        return
    if not stands:
        states.follow(row, "over", planner.now)
    elif planner.reached_nobody(row):
        _owe_again(planner, row, _at_once(planner, STANDS_FOR))


def _plan_alerts(planner: _Planner, alerts: tuple[Alert, ...], *, quietly: bool) -> None:
    """One notice for each alert, while something can be done; withdrawn when the sky clears."""
    coming = {alert.kind: alert for alert in alerts}
    for kind in ALERTS:
        row, alert = planner.current(kind, KINDS.get(kind, kind)), coming.get(kind)
        act = states.ALERTS.get((states.standing(row, planner.now), _sky(planner, row, alert)))
        if alert is not None and act in ("warn", "warn again"):
            if row is not None:
                states.close_reminder(row, planner.now)
            _warn(planner, alert, row.round + 1 if row is not None else 1)
        elif alert is not None and row is not None and act == "change":
            _change(planner, row, alert)
        elif row is not None and act == "cancel":
            states.follow(row, "over", planner.now)
        elif row is not None and act == "call off":
            _call_off(planner, row, quietly=quietly)


def _sky(planner: _Planner, row: Reminder | None, alert: Alert | None) -> str:
    """coming | news (to be told again) | gone | behind (gone, and past in any case)."""
    if alert is not None:
        return "news" if row is not None and _is_news(row, alert, planner.now) else "coming"
    return "gone" if row is not None and row.window_at > planner.now else "behind"


def _plan_frozen(planner: _Planner, messages: list[Message]) -> None:
    """One notice that it froze, and no other."""
    row = planner.current(FROZEN, KINDS[FROZEN])
    if not messages:
        if row is not None:
            states.follow(row, "over", planner.now)
        return
    facts = planner.about(FROZEN, as_json(tuple(messages)))
    hours = _at_once(planner)
    if row is None:
        _add(planner, FROZEN, KINDS[FROZEN], 1, planner.now, hours, facts)
    elif _may_change(planner, row):
        row.facts = facts
        _owe_again(planner, row, hours)


def _warn(planner: _Planner, alert: Alert, count: int) -> None:
    kind, facts = KINDS.get(alert.kind, alert.kind), _alert_facts(planner, alert)
    _add(planner, alert.kind, kind, count, alert.at, _alert_hours(planner, alert), facts)


def _change(planner: _Planner, row: Reminder, alert: Alert) -> None:
    if _may_change(planner, row):
        row.facts, row.window_at = _alert_facts(planner, alert), alert.at
        _owe_again(planner, row, _alert_hours(planner, alert))


def _alert_facts(planner: _Planner, alert: Alert) -> dict[str, Any]:
    body = answers.alert(alert, planner.reader).model_dump(mode="json")
    remedy = as_json(alert.remedy)
    return planner.about(alert.kind, [body["code"]], act_by=body["act_by"], remedy=remedy)


def _alert_hours(planner: _Planner, alert: Alert) -> Hours:
    until = max(alert.at, planner.now + timedelta(hours=1))
    return Hours(planner.now, alert.act_by, until)


def _may_change(planner: _Planner, row: Reminder) -> bool:
    """Nobody has heard it, and it is not being sent."""
    unsent = states.standing(row, planner.now) == "unsent"
    return unsent or planner.reached_nobody(row)


def _owe_again(planner: _Planner, row: Reminder, hours: Hours) -> None:
    states.follow(row, "owed", planner.now)
    planner.plan(row, hours)


def _is_news(row: Reminder, alert: Alert, now: datetime) -> bool:
    """Whether what was told must be told again: called off since, sooner, or another night."""
    announced_by = datetime.fromisoformat(row.facts.get("act_by", row.window_at.isoformat()))
    return (
        row.superseded_at is not None
        or alert.act_by < announced_by - SOONER
        or (now > announced_by and now - row.changed_at >= ANOTHER_NIGHT)
    )


def _call_off(planner: _Planner, row: Reminder, *, quietly: bool) -> None:
    """An alert that was sent no longer stands; whoever has just acted on it, or whose piece froze,
    is not told so."""
    _supersede(planner, row)
    if quietly:
        return
    facts = row.facts | {"was": row.window_at.isoformat(), "because": []}
    hours = _at_once(planner, AT_ONCE_FOR)
    _add(planner, row.step, "correction", row.round, planner.now, hours, facts)


def _at_once(planner: _Planner, lasts: timedelta = timedelta(0)) -> Hours:
    """Now, or when a person may be woken next."""
    until = planner.now + AT_ONCE_FOR
    return Hours(planner.now, until, until if not lasts else planner.now, lasts)


def _owe(planner: _Planner, window: StepWindow, kind: str, at: datetime, count: int) -> None:
    facts = planner.facts(window)
    row = _add(planner, window.step, kind, count, at, _hours(window, kind, at), facts)
    planner.rows[window.step, kind].append(row)


def _move(planner: _Planner, row: Reminder, window: StepWindow, at: datetime) -> None:
    stood = row.state == "waiting"
    same_minute = abs(row.window_at - at) < timedelta(minutes=1)
    states.follow(row, "owed", planner.now)
    if stood and not same_minute:
        row.changed_at, row.changes = planner.now, row.changes + 1
    row.facts = planner.facts(window)
    row.window_at = at
    planner.plan(row, _hours(window, row.kind, at))


def _withdraw(planner: _Planner, row: Reminder, window: StepWindow) -> None:
    """What was sent is no longer true, and the maker is told so."""
    _supersede(planner, row)
    hours, was = _at_once(planner, STANDS_FOR), row.window_at.isoformat()
    facts = planner.facts(window, was=was, why_moved=planner.what.why_moved)
    _add(planner, window.step, "correction", row.round, planner.now, hours, facts)


def _supersede(planner: _Planner, row: Reminder) -> None:
    """What was sent stands no longer; who has not heard it hears it no more."""
    row.superseded_at = row.changed_at = planner.now
    row.changes += 1
    states.close_reminder(row, planner.now)


def _hours(window: StepWindow, kind: str, at: datetime) -> Hours:
    if kind == "opens":
        until = window.latest if window.latest is not None else at + STANDS_FOR
        return Hours(at, until, until)
    opened = opens(window) or at
    return Hours(at - min(LONGEST_LEAD, max(at - opened, timedelta(0)) / 4), at, at)


def _add(
    planner: _Planner,
    step: str,
    kind: str,
    count: int,
    window_at: datetime,
    hours: Hours,
    facts: dict[str, Any],
) -> Reminder:
    suffix = f":{count}" if count > 1 else ""
    row = Reminder(
        created_at=planner.now,
        changed_at=planner.now,
        pour_id=planner.pour.id,
        step=step,
        kind=kind,
        round=count,
        key=f"{planner.pour.id}:{step}:{kind}{suffix}",
        window_at=window_at,
        due_at=hours.wanted_at,
        not_after=hours.not_after,
        facts=facts,
    )
    planner.plan(row, hours)
    planner.session.add(row)
    return row


def _is_next(window: StepWindow) -> bool:
    """Whether a notice may be owed: it lies ahead, and waits for no step that is not done."""
    return window.state in AHEAD and not window.after
