"""The log: lines for people or JSON, each with the request and the pour that it belongs to.

Nothing of what was typed or kept is in it: an address may hold a secret, so that a request is told
by the template of its route.
"""

import json
import logging
from contextvars import ContextVar
from datetime import UTC, datetime

REQUEST: ContextVar[str] = ContextVar("request", default="")
POUR: ContextVar[str] = ContextVar("pour", default="")
PLAIN = "%(asctime)s %(levelname)s %(name)s %(message)s"
LEVELS = ("debug", "info", "warning", "error")
FORMS = ("text", "json")
MORE = ("method", "route", "status", "ms")  # fields that a line may bring by `extra`
CHATTY = {
    "httpx": "WARNING",
    "alembic": "WARNING",
    # a round that is longer than its interval is no trouble: the next begins when it ends
    "apscheduler": "ERROR",
}


class AsText(logging.Formatter):
    """One line for people; what it belongs to stands behind it."""

    def format(self, record: logging.LogRecord) -> str:
        known = {"request": REQUEST.get(), "pour": POUR.get()}
        told = " ".join(f"{name}={value}" for name, value in known.items() if value)
        text = super().format(record)
        return f"{text} {told}" if told else text


class AsJson(logging.Formatter):
    """One object a line, its instant in UTC."""

    def format(self, record: logging.LogRecord) -> str:
        at = datetime.fromtimestamp(record.created, UTC)
        line: dict[str, object] = {
            "at": at.isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "logger": record.name,
            "text": record.getMessage(),
            "request": REQUEST.get() or None,
            "pour": POUR.get() or None,
        }
        line |= {name: getattr(record, name) for name in MORE if hasattr(record, name)}
        if record.exc_info:
            line["trace"] = self.formatException(record.exc_info)
        return json.dumps({name: value for name, value in line.items() if value is not None})


def set_up(level: str, form: str) -> None:
    """Of this process; what its libraries say of themselves is told from warnings on."""
    handler = logging.StreamHandler()
    handler.setFormatter(AsJson() if form == "json" else AsText(PLAIN))
    root = logging.getLogger()
    root.handlers[:] = [handler]
    root.setLevel(level.upper())
    for name, least in CHATTY.items():
        logging.getLogger(name).setLevel(least)
