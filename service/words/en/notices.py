"""Notices, reminders and why a window moved."""

TEMPLATES: dict[str, str] = {}
