"""Record, care sheet, doubts about what was typed."""

TEMPLATES: dict[str, str] = {}
