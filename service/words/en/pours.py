"""The pour check: ways to pour, why not, when, and what to mind."""

TEMPLATES: dict[str, str] = {}
