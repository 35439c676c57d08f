"""A JSON answer as it came, before anybody has looked at it: the one place where `Any` is right."""

from typing import Any

Json = Any
JsonDict = dict[str, Any]
