"""Alerts, heat that burns inside, evaporation, what would bring a step earlier."""

TEMPLATES: dict[str, str] = {}
