"""A finish: products one after the other, with their coats numbered through."""

from collections.abc import Sequence
from dataclasses import dataclass

from models.coating.film import SealerSystem
from models.errors import InputError
from models.facts.finishes import FAMILIES, MOST_PRODUCTS, NEVER_ON, RINSED
from models.facts.sealers import Sheet


@dataclass(frozen=True)
class Product:
    """One product of a finish. numbers : of its coats among all coats of the piece."""

    chemistry: str | None
    sheet: Sheet
    numbers: range

    @property
    def steps(self) -> tuple[str, ...]:
        return tuple(f"coat-{number}" for number in self.numbers)

    @property
    def under(self) -> str:
        """The coat that lies under its first; nothing under the first product."""
        return f"coat-{self.numbers.start - 1}" if self.numbers.start > 1 else ""

    @property
    def rinsed(self) -> bool:
        return self.chemistry in RINSED


def products(sheets: Sequence[tuple[str | None, Sheet]]) -> tuple[Product, ...]:
    """The products of some sheets in their order, coats numbered from 1 on.

    Source: definition.
    """
    found: list[Product] = []
    first = 1
    for chemistry, sheet in sheets:
        found.append(Product(chemistry, sheet, range(first, first + sheet.coats)))
        first += sheet.coats
    return tuple(found)


def least_h(finish: Sequence[Product]) -> float:
    """Hours from the first coat of a finish to its last at 20 degC, at the least [h].

    Source: product sheet, else TYPICAL_SHEET.
    """
    coats_h = sum(one.sheet.recoat_min_h * (one.sheet.coats - 1) for one in finish)
    return coats_h + sum(one.sheet.next_after_h for one in finish[:-1])


def checked(systems: Sequence[SealerSystem]) -> None:
    """Refuse an order in which one product cannot hold on, or get into, another below it.

    Raises InputError that names both.

    Source: UFC_3_190_06, UFGS_07190, COMMON_PRACTICE, row by row in facts.finishes.
    """
    if len(systems) > MOST_PRODUCTS:
        wrong, allowed = "too many products", f"1 to {MOST_PRODUCTS} products"
        raise InputError("finish", len(systems), wrong, allowed)
    told = [one.chemistry for one in systems]
    for k, upper in enumerate(told):
        if upper is None:
            allowed = " | ".join(FAMILIES)
            raise InputError(f"finish[{k}].chemistry", upper, "not told", f"one of {allowed}")
        for lower in told[:k]:
            if lower is not None and (FAMILIES[upper], FAMILIES[lower]) in NEVER_ON:
                wrong = f"{upper} over {lower}"
                allowed = f"{upper} before {lower}, or one of both"
                raise InputError(f"finish[{k}].chemistry", upper, wrong, allowed)
