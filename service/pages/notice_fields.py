"""Which notices, and when: asked of the shop, and of each person for themselves."""

from typing import Any

from models.records.shop import NOTICES
from service.actions.notices.quiet_hours import Rules
from service.nouns.form import Control, Form

KINDS_TOLD = {
    "opens": "a window opens",
    "closes": "a window is about to close",
    "frost": "frost",
    "rain": "rain on a fresh face",
    "wind": "wind on a cover",
}
LEADS = (
    ("0", "when it opens"),
    ("15", "15 min before"),
    ("30", "30 min before"),
    ("60", "an hour before"),
    ("120", "2 hours before"),
)
WAKES = (("yes", "alarms may wake me"),)


def controls(rules: Rules) -> list[Control]:
    """Kinds, lead, and whether an alarm wakes, as they stand."""
    return [
        Control(
            "notice_kinds",
            "Remind when",
            "boxes",
            options=tuple(KINDS_TOLD.items()),
            default="|".join(rules.notice_kinds),
            hint="fumes and what is taken back are told in any case",
        ),
        Control(
            "notice_lead_min",
            "Tell of a window",
            "choice",
            options=_leads(rules.notice_lead_min),
            default=f"{rules.notice_lead_min}",
            needed=True,
        ),
        Control(
            "frost_wakes",
            "At night",
            "boxes",
            options=WAKES,
            default="yes" if rules.frost_wakes else "",
        ),
    ]


def values(form: Form) -> dict[str, Any]:
    """What was chosen."""
    return {
        "notice_kinds": [one for one in NOTICES if form.ticked("notice_kinds", one)],
        "notice_lead_min": int(form.value("notice_lead_min") or 0),
        "frost_wakes": form.ticked("frost_wakes", "yes"),
    }


def _leads(minutes: int) -> tuple[tuple[str, str], ...]:
    """The usual ones, and the one that was set by the API."""
    known = dict(LEADS)
    known.setdefault(f"{minutes}", f"{minutes} min before")
    return tuple(sorted(known.items(), key=lambda one: int(one[0])))
