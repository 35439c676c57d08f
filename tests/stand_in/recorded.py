"""Answers of weather services as they were recorded by others, for the tests to replay.

`data/recorded/sources.json` says of each from which file of which public repository it comes.
Those of the National Weather Service have times told from now on; here they become instants.
"""

import gzip
import json
import re
from datetime import datetime, timedelta
from pathlib import Path

from tests.support.raw import Json

FOLDER = Path(__file__).parent.parent / "data" / "recorded"
RELATIVE = re.compile(r"date:now(?P<hour>:hour)?(?: (?P<many>[+-]?\d+) (?P<unit>seconds|hours))?")
HOST = "https://api.weather.gov"


def answer(name: str, now: datetime | None = None) -> Json:
    """One recorded answer by its name in sources.json; `now` where its times are relative."""
    with gzip.open(FOLDER / f"{name}.json.gz", "rt", encoding="utf-8") as file:
        told = json.load(file)
    return told if now is None else _absolute(told, now)


def raw(name: str, now: datetime | None = None) -> bytes:
    return json.dumps(answer(name, now)).encode()


def _absolute(told: Json, now: datetime) -> Json:
    if isinstance(told, dict):
        return {key: _absolute(value, now) for key, value in told.items()}
    if isinstance(told, list):
        return [_absolute(value, now) for value in told]
    if isinstance(told, str) and told.startswith("date:now"):
        begin, slash, length = told.partition(" / ")
        return f"{_instant(begin, now).isoformat()}{'/' if slash else ''}{length}"
    return told


def _instant(text: str, now: datetime) -> datetime:
    found = RELATIVE.fullmatch(text)
    assert found is not None, text
    base = now.replace(minute=0, second=0, microsecond=0) if found["hour"] else now
    return base + timedelta(**{found["unit"]: int(found["many"])}) if found["many"] else base
