"""What a criterion may look at: the pour as it is set up, and what its members went through."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from models.coating.finish import Product
from models.concrete.section import Covering
from models.facts.cements import MixClass
from models.facts.codes import Code
from models.facts.sealers import Sheet
from models.piece.shape import Shape
from models.steps.dry import Drying
from models.steps.opening import Trajectory
from models.units import Array


@dataclass(frozen=True)
class Setup:
    """What is known of a pour without any weather; it decides which steps there are.

    covered : whether a cover lies on it, or is meant to, that could be taken off
    done : what is marked done, hours from placing
    sealed : whether a sealer is told; else it ends at dry enough to seal
    """

    shape: Shape
    covered: bool
    exposed_to_frost: bool
    sheet: Sheet  # of the sealer, with the number of its coats
    done: Mapping[str, float]
    sealed: bool = True
    board: str = "melamine"  # of the mould
    burner: bool = False  # goes in it
    burner_fitted: bool = False  # by who is allowed to, and tried
    finish: tuple[Product, ...] = ()  # of more than one product; sheet is that of the first
    delivered: bool = False  # it goes to a client

    @property
    def coats(self) -> int:
        """Of all products."""
        return self.finish[-1].numbers.stop - 1 if self.finish else self.sheet.coats

    @property
    def last_coat(self) -> str:
        return f"coat-{self.coats}"

    @property
    def top(self) -> Sheet:
        """The sheet of what goes on last."""
        return self.finish[-1].sheet if self.finish else self.sheet

    @property
    def reseal_years(self) -> tuple[float, float]:
        """Of the product that lasts least."""
        sheets = [one.sheet for one in self.finish] or [self.sheet]
        return min(one.reseal_years for one in sheets)


@dataclass(frozen=True)
class Film:
    """The film of the last coat: laid at_h hours from placing (infinite: no hour is planned).

    under : hour of the last coat of each product beneath, and its sheet

    hardened_h : (rows, members) hours at 20 degC that a film would have had, from placing [h]; None
        where no hour is planned
    """

    at_h: float
    hardened_h: Array | None
    under: tuple[tuple[float, Sheet], ...] = ()


@dataclass(frozen=True)
class Case:
    """One pour with all its members, for the criteria.

    fraction_2d : strength at two days at 20 degC over that at 28 days, dimensionless
    evaporation_kg_m2h, evaporation_limit_kg_m2h : of the fresh face, 90 % of the members
    planned_h : hours from placing at which steps are done or meant [h], infinite: none is told
    """

    setup: Setup
    trajectory: Trajectory
    mix: MixClass
    density_kg_m3: float
    needs_MPa: Mapping[str, float]  # the shop's own
    confidence: float
    coverings: tuple[Covering, ...]
    fraction_2d: float
    evaporation_kg_m2h: float
    evaporation_limit_kg_m2h: float
    planned_h: Mapping[str, float]
    code: Code
    quick: bool  # whether the codes count it as high-early
    dried: Drying | None = None  # not known while the drying itself is computed
    coated: Film | None = None  # not known before the coats are planned
    keeps_its_water: bool = False  # by its polymer: film overnight stands for the damp cure
    older_h: float = 0.0  # how long before the youngest batch the oldest went in [h]
    gear: tuple[str, ...] = ()  # that the shop turns pieces with
    strength_told: bool = True  # by a label, a test, or earlier pours: not by its class alone

    @property
    def drying(self) -> Drying:
        if self.dried is None:
            raise ValueError("drying: asked for before it is known; allowed after settled()")
        return self.dried

    @property
    def film(self) -> Film:
        if self.coated is None:
            raise ValueError("film: asked for before the coats are planned; allowed after coated()")
        return self.coated

    def done_h(self, step: str) -> float:
        """Hour from placing at which a step was done [h]; infinite: it is not."""
        return self.setup.done.get(step, np.inf)
