"""One entry of the bibliography."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Source:
    """Where a number comes from.

    where : an address that a reader outside can follow, or the clause and edition of a standard
    basis : how it is known, one of BASES: `page` was opened at that address; `standard` names clause
        and edition and was not opened; `second-hand` is another page's word for it
    """

    title: str
    where: str
    basis: str = "page"


BASES = (
    "page",
    "second-hand",
    "standard",
    "library",
    "open data",
    "mathematics",
    "common practice",
    "own",
    "from memory",
)
