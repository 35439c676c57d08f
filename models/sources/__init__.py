"""The bibliography: one entry a key. Everything else cites a key."""

from models.sources.entry import BASES, Source
from models.sources.pages import PAGES
from models.sources.papers import PAPERS
from models.sources.standards import STANDARDS

__all__ = ["BASES", "SOURCES", "Source"]

SOURCES: dict[str, Source] = STANDARDS | PAPERS | PAGES
