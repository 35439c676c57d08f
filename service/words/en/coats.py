"""The coat plan, sealers, and the care of a sealed piece."""

TEMPLATES: dict[str, str] = {}
