"""Pieces, mixes, materials, covers, handling."""

TEMPLATES: dict[str, str] = {}
