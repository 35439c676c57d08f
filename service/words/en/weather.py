"""What was used of weather and readings, and what contradicts."""

TEMPLATES: dict[str, str] = {}
