"""An instant as HTTP headers carry it (RFC 9110)."""

from datetime import UTC, datetime
from email.utils import format_datetime


def http_date(at: datetime) -> str:
    return format_datetime(at.astimezone(UTC), usegmt=True)
