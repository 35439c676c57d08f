"""What the error answers of the National Weather Service mean (RFC 7807), and when to come back.

The kind of a problem is the last part of its `type`, whichever of the two forms that has. A page
of HTML in its place, as the network in front of the service sends, has no kind.
"""

from datetime import datetime

from service.weather.answer import part
from service.weather.http import Refusal, read_json

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


def explain(status: int, body: bytes, _: datetime) -> Refusal:
    """What an error answer means; its kind is that of the service's problem."""
    try:
        problem = part(read_json(body))
    except ValueError:
        problem = {}
    kind = str(problem.get("type", "")).replace(":", "/").rpartition("/")[2]
    detail = str(problem.get("detail") or problem.get("title") or "")
    words, again_s = KINDS.get(kind, ("", None))
    if status == 403:
        words, again_s = "it refuses us; set a contact (CASTCLOCK_CONTACT)", None
    elif status == 429:
        words, again_s = "too many questions", BUSY_S
    return Refusal("; ".join(part for part in (words, detail) if part), again_s, kind)
