"""Which notices are owed for a pour: rows that move with the windows until they are sent."""

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from sqlmodel import Session

from models.records import Pour, Reminder, Shop
from models.steps import registry
from service.actions._hours import when_to_tell
from service.queries import reminders
from service.queries.jobs import LONGEST_LEASE

MOVED = timedelta(minutes=30)
STANDS_FOR = timedelta(days=3)  # an open window without an end is told up to this late
AT_ONCE_FOR = timedelta(hours=12)
LONGEST_LEAD = timedelta(hours=2)  # ahead of a closing end, else a quarter of the window
AHEAD = ("not yet", "open", "closing")
TOLD = ("sent",)  # somebody has heard it; it is owed to others until `done_at`
UNSENT = ("waiting", "held", "cancelled")
UNHEARD = ("listed", "failed", "expired")  # it ended, and reached nobody
ALERTS = ("fumes", "frost", "rain", "wind")
FUMES, FROZEN = "fumes", "frozen"
KINDS = {FUMES: "frost", FROZEN: "frost"}  # kinds of rows are few: these go as loudly as frost
SOONER = timedelta(hours=1)
ANOTHER_NIGHT = timedelta(hours=20)
LASTING = tuple(step.key for step in registry.STEPS if step.lasting)  # for no forecast's sake
Rows = dict[tuple[str, str], list[Reminder]]


@dataclass(frozen=True)
class _Desk:
    session: Session
    now: datetime
    pour: Pour
    piece: str
    shop: Shop
    why_moved: str
    rows: Rows

    def current(self, step: str, kind: str) -> Reminder | None:
        rows = self.rows.get((step, kind))
        return max(rows, key=lambda row: row.round) if rows else None

    def reached_nobody(self, row: Reminder) -> bool:
        """Whether it ended unheard, and there is somebody to tell now."""
        return row.state in UNHEARD and bool(self.shop.notice_addresses)

    def facts(self, window: dict[str, Any], **more: Any) -> dict[str, Any]:
        early = window["earliest"]
        told = {name: window[name] for name in ("latest", "cautions", "missed")}
        return self.about(
            window["step"], window["because"], p50=early["p50"], p90=early["p90"], **told, **more
        )

    def about(self, step: str, because: str, **more: Any) -> dict[str, Any]:
        """What every notice carries."""
        return {
            "piece": self.piece,
            "step": step,
            "because": because,
            "cautions": [],
            "confidence": self.shop.confidence,
            "timezone": self.shop.timezone,
            **more,
        }


def plan(
    session: Session,
    now: datetime,
    pour: Pour,
    piece: str,
    answer: dict[str, Any],
    shop: Shop,
    why_moved: str = "",
    *,
    acted: bool = False,
) -> bool:
    """Bring the rows in line with a projection; nothing that was sent is rewritten.

    acted : whether the maker did something since the last one
    Returns whether a notice was being sent meanwhile and so was left alone.
    """
    rows: Rows = defaultdict(list)
    for row in _rows_of(session, pour.id):
        if row.state == "expired" and row.done_at is not None and row.done_at > now:
            row.state, row.done_at = "waiting", None  # by a clock that was ahead
        rows[row.step, row.kind].append(row)
    desk = _Desk(session, now, pour, piece, shop, why_moved, rows)
    for window in answer["steps"]:
        _plan_opening(desk, window)
        _plan_closing(desk, window)
    told = {window["step"] for window in answer["steps"]}
    for (step, kind), some in rows.items():
        if kind in ("opens", "closes") and step not in told:
            for row in some:
                _cancel(desk.session, row, now)
    froze = any(window["state"] == "frozen" for window in answer["steps"])
    _plan_alerts(desk, answer.get("alerts", []), quietly=acted or froze)
    _plan_frozen(desk, [text for text in answer["warnings"] if froze and text.startswith("frost")])
    return any(_in_flight(row, now) for some in rows.values() for row in some)


def cancel_step(session: Session, now: datetime, pour_id: int, step: str) -> None:
    """The step is done: nothing more is owed about it."""
    for row in _rows_of(session, pour_id):
        if row.step == step:
            _cancel(session, row, now)


def cancel_all(session: Session, now: datetime, pour_id: int, but: tuple[str, ...] = ()) -> None:
    """The pour is closed; what lasts of a finished piece is still owed."""
    for row in _rows_of(session, pour_id):
        if row.step not in but:
            _cancel(session, row, now)


def _plan_opening(desk: _Desk, window: dict[str, Any]) -> None:
    row = desk.current(window["step"], "opens")
    at, latest = _opens(window), _instant(window["latest"])
    if window["state"] in ("done", "past") or (latest is not None and latest <= desk.now):
        if row is not None:
            _cancel(desk.session, row, desk.now)
        return
    known = at if _is_next(window) else None
    _follow_withdrawal(desk, window["step"], stands=known is None or known > desk.now)
    if row is None:
        if known is not None and known > desk.now:
            _owe(desk, window, "opens", known, 1)
    elif _in_flight(row, desk.now):
        return
    elif row.state not in TOLD:
        if known is None:
            _hold(desk, row, window)
        elif row.state in UNSENT or known > desk.now or _still_news(desk, row, known):
            _move(desk, row, window, known)
    elif row.superseded_at is None and (known is None or known > row.window_at + MOVED):
        _withdraw(desk, row, window)
        if known is not None:
            _owe(desk, window, "opens", known, row.round + 1)
    elif row.superseded_at is not None and known is not None:
        _owe(desk, window, "opens", known, row.round + 1)


def _still_news(desk: _Desk, row: Reminder, known: datetime) -> bool:
    return desk.reached_nobody(row) and desk.now <= known + STANDS_FOR


def _follow_withdrawal(desk: _Desk, step: str, *, stands: bool) -> None:
    """One that reached nobody is sent again while it stands; when the step is open none is."""
    row = desk.current(step, "correction")
    if row is None:
        return
    if not stands:
        _cancel(desk.session, row, desk.now)
    elif desk.reached_nobody(row):
        due = when_to_tell(desk.now, desk.now + AT_ONCE_FOR, desk.now, desk.shop)
        _owe_again(desk, row, due, due + STANDS_FOR)


def _plan_closing(desk: _Desk, window: dict[str, Any]) -> None:
    row = desk.current(window["step"], "closes")
    latest, opens = _instant(window["latest"]), _opens(window)
    if window["state"] in ("done", "past") or (latest is not None and latest <= desk.now):
        if row is not None:
            _cancel(desk.session, row, desk.now)
        return
    known = latest if _is_next(window) and opens is not None else None
    if row is not None and _in_flight(row, desk.now):
        return
    if known is None:
        if row is not None and row.state not in TOLD:
            _hold(desk, row, window)
    elif row is None:
        _owe(desk, window, "closes", known, 1)
    elif row.state not in TOLD:
        _move(desk, row, window, known)
    elif known > row.window_at + MOVED:
        _owe(desk, window, "closes", known, row.round + 1)


def _plan_alerts(desk: _Desk, alerts: list[dict[str, Any]], *, quietly: bool) -> None:
    """One notice for each alert, while something can be done; withdrawn when the sky clears."""
    coming = {alert["kind"]: alert for alert in alerts}
    for kind in ALERTS:
        row = desk.current(kind, KINDS.get(kind, kind))
        if kind in coming:
            _warn(desk, row, coming[kind])
        elif row is not None and row.state not in TOLD:
            _cancel(desk.session, row, desk.now)
        elif row is not None and row.superseded_at is None and row.window_at > desk.now:
            _call_off(desk, row, quietly=quietly)


def _plan_frozen(desk: _Desk, told: list[str]) -> None:
    """One notice that it froze, and no other."""
    row = desk.current(FROZEN, KINDS[FROZEN])
    if not told:
        if row is not None:
            _cancel(desk.session, row, desk.now)
        return
    facts = desk.about(FROZEN, "; ".join(told))
    until = desk.now + AT_ONCE_FOR
    due = when_to_tell(desk.now, until, desk.now, desk.shop)
    if row is None:
        _add(desk, FROZEN, KINDS[FROZEN], 1, desk.now, due, max(until, due), facts)
    elif _may_change(desk, row):
        row.facts = facts
        _owe_again(desk, row, due, max(until, due))


def _warn(desk: _Desk, row: Reminder | None, alert: dict[str, Any]) -> None:
    at, by = datetime.fromisoformat(alert["at"]), datetime.fromisoformat(alert["act_by"])
    facts = desk.about(alert["kind"], alert["text"], act_by=alert["act_by"], remedy=alert["remedy"])
    due = when_to_tell(desk.now, by, desk.now, desk.shop)
    until = max(at, due, desk.now + timedelta(hours=1))
    if row is None or (row.state in TOLD and _is_news(row, by, desk.now)):
        count = row.round + 1 if row is not None else 1
        if row is not None:
            _let_go(desk.session, row, desk.now)
        kind = KINDS.get(alert["kind"], alert["kind"])
        _add(desk, alert["kind"], kind, count, at, due, until, facts)
    elif _may_change(desk, row):
        row.facts, row.window_at = facts, at
        _owe_again(desk, row, due, until)


def _may_change(desk: _Desk, row: Reminder) -> bool:
    """Nobody has heard it, and it is not being sent."""
    unheard = row.state in UNSENT or desk.reached_nobody(row)
    return unheard and not _in_flight(row, desk.now)


def _owe_again(desk: _Desk, row: Reminder, due: datetime, until: datetime) -> None:
    if row.state != "waiting":  # what addresses said to it before does not count
        row.changed_at, row.changes = desk.now, row.changes + 1
    row.state, row.done_at, row.claimed_until = "waiting", None, None
    row.due_at, row.not_after, row.attempt = due, until, 0
    desk.session.add(row)


def _is_news(row: Reminder, by: datetime, now: datetime) -> bool:
    """Whether what was told must be told again: called off since, sooner, or another night."""
    told_by = datetime.fromisoformat(row.facts.get("act_by", row.window_at.isoformat()))
    return (
        row.superseded_at is not None
        or by < told_by - SOONER
        or (now > told_by and now - row.changed_at >= ANOTHER_NIGHT)
    )


def _call_off(desk: _Desk, row: Reminder, *, quietly: bool) -> None:
    """An alert that was sent no longer stands; whoever has just acted on it, or whose piece froze,
    is not told so."""
    _supersede(desk, row)
    if quietly:
        return
    facts = row.facts | {"was": row.window_at.isoformat(), "because": ""}
    due = when_to_tell(desk.now, desk.now + AT_ONCE_FOR, desk.now, desk.shop)
    _add(desk, row.step, "correction", row.round, desk.now, due, due + AT_ONCE_FOR, facts)


def _owe(desk: _Desk, window: dict[str, Any], kind: str, at: datetime, count: int) -> None:
    due, until = _due(desk, window, kind, at)
    row = _add(desk, window["step"], kind, count, at, due, until, desk.facts(window))
    desk.rows[window["step"], kind].append(row)


def _move(desk: _Desk, row: Reminder, window: dict[str, Any], at: datetime) -> None:
    due, until = _due(desk, window, row.kind, at)
    same_minute = abs(row.window_at - at) < timedelta(minutes=1) and row.state == "waiting"
    row.facts = desk.facts(window)
    row.window_at, row.due_at, row.not_after = at, due, until
    row.state, row.claimed_until, row.done_at, row.attempt = "waiting", None, None, 0
    if not same_minute:
        row.changed_at, row.changes = desk.now, row.changes + 1
    desk.session.add(row)


def _hold(desk: _Desk, row: Reminder, window: dict[str, Any]) -> None:
    if row.state in ("waiting", "cancelled", *UNHEARD):
        row.state, row.facts = "held", desk.facts(window)
        row.changed_at, row.changes = desk.now, row.changes + 1
        desk.session.add(row)


def _withdraw(desk: _Desk, row: Reminder, window: dict[str, Any]) -> None:
    """What was sent is no longer true, and the maker is told so."""
    _supersede(desk, row)
    facts = desk.facts(window, was=row.window_at.isoformat(), why_moved=desk.why_moved)
    due = when_to_tell(desk.now, desk.now + AT_ONCE_FOR, desk.now, desk.shop)
    _add(desk, window["step"], "correction", row.round, desk.now, due, due + STANDS_FOR, facts)


def _supersede(desk: _Desk, row: Reminder) -> None:
    """What was sent stands no longer; who has not heard it hears it no more."""
    row.superseded_at = row.changed_at = desk.now
    row.changes += 1
    _let_go(desk.session, row, desk.now)


def _due(desk: _Desk, window: dict[str, Any], kind: str, at: datetime) -> tuple[datetime, datetime]:
    latest = _instant(window["latest"])
    if kind == "opens":
        until = latest if latest is not None else at + STANDS_FOR
        wanted = at
    else:
        opens = _opens(window) or at
        lead = min(LONGEST_LEAD, max(at - opens, timedelta(0)) / 4)
        until, wanted = at, at - lead
    due = when_to_tell(max(wanted, desk.now), until, desk.now, desk.shop)
    return due, max(until, due)


def _add(
    desk: _Desk,
    step: str,
    kind: str,
    count: int,
    window_at: datetime,
    due_at: datetime,
    not_after: datetime,
    facts: dict[str, Any],
) -> Reminder:
    suffix = f":{count}" if count > 1 else ""
    row = Reminder(
        created_at=desk.now,
        changed_at=desk.now,
        pour_id=desk.pour.id,
        step=step,
        kind=kind,
        round=count,
        key=f"{desk.pour.id}:{step}:{kind}{suffix}",
        window_at=window_at,
        due_at=due_at,
        not_after=not_after,
        facts=facts,
    )
    desk.session.add(row)
    return row


def _cancel(session: Session, row: Reminder, now: datetime) -> None:
    if row.state in ("waiting", "held"):
        row.state = "cancelled"
        row.changed_at, row.changes = now, row.changes + 1
        session.add(row)
    elif row.state in TOLD:
        _let_go(session, row, now)


def _let_go(session: Session, row: Reminder, now: datetime) -> None:
    """It is sent to nobody any more."""
    if row.done_at is None:
        row.done_at, row.claimed_until = now, None
    session.add(row)


def _in_flight(row: Reminder, now: datetime) -> bool:
    until = row.claimed_until
    return row.state == "waiting" and until is not None and now < until <= now + LONGEST_LEASE


def _rows_of(session: Session, pour_id: int) -> list[Reminder]:
    return list(reminders.of_pour(session, pour_id))


def _is_next(window: dict[str, Any]) -> bool:
    """Whether a notice may be owed: it lies ahead, and waits for no step that is not done."""
    return window["state"] in AHEAD and not window.get("after")


def _opens(window: dict[str, Any]) -> datetime | None:
    """Its sure hour; even odds where it is too short to have one, since the hand then decides."""
    likely, sure = (_instant(window["earliest"][share]) for share in ("p50", "p90"))
    latest = _instant(window["latest"])
    if sure and latest and latest < sure:  # as reckonings of before say it
        return min(likely or sure, latest)
    return sure or (likely if window.get("by_check") else None)


def _instant(text: str | None) -> datetime | None:
    return None if text is None else datetime.fromisoformat(text)
