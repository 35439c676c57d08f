"""What the error answers of the National Weather Service mean (RFC 7807), and when to come back.

The kind of a problem is the last part of its `type`, whichever of the two forms that has. A page
of HTML in its place, as the network in front of the service sends, has no kind.
"""

import json
from dataclasses import dataclass
from datetime import datetime

from service.weather.http import Refusal

BUSY_S = 5.0  # what the service itself names as the typical pause

# kind -> what it means for a maker, and seconds until asking again makes sense (None: the caller's
# own pauses, and no use at all under a 4xx)
KINDS: dict[str, tuple[str, float | None]] = {
    "InvalidPoint": ("the place lies outside its area; use another service there", None),
    "MarineForecastNotSupported": ("the place lies on water; move its pin", None),
    "ForecastGridExpired": ("its office has sent no new forecast", 2700.0),
    "ForecastMissingData": ("its forecast lacks hours", 2700.0),
    "UnavailableWebService": ("it is down for some minutes", 900.0),
    "UnexpectedProblem": ("it had a problem of its own", None),
}
# kinds after which another form of the same forecast may still be had
ANOTHER_FORM = frozenset({"UnexpectedProblem", "ForecastMissingData"})
OUTSIDE = frozenset({"InvalidPoint", "MarineForecastNotSupported"})


@dataclass
class Problem:
    """The last problem that one question met; `explain` is what the caller asks."""

    kind: str = ""

    def explain(self, status: int, body: bytes, _: datetime) -> Refusal:
        self.kind, detail = _read(body)
        if status == 403:
            words = "it refuses us; set a contact (CASTCLOCK_CONTACT)"
            return Refusal(f"{words}; {detail}".rstrip("; "), None)
        if status == 429:
            return Refusal(f"too many questions; {detail}".rstrip("; "), BUSY_S)
        words, again_s = KINDS.get(self.kind, ("", None))
        return Refusal("; ".join(part for part in (words, detail) if part), again_s)


def _read(body: bytes) -> tuple[str, str]:
    try:
        told = json.loads(body)
    except (ValueError, RecursionError):
        return "", ""
    if not isinstance(told, dict):
        return "", ""
    kind = str(told.get("type", "")).replace(":", "/").rpartition("/")[2]
    return kind, str(told.get("detail") or told.get("title") or "")
