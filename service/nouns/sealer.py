"""A sealer product: what its sheet says."""

from typing import Any

from models.facts.sealers import CHEMISTRIES
from models.records.sealer import SealerBase
from service.nouns.base import Owned, RequestBody, ResponseBody
from service.nouns.controls import Controls, listed
from service.nouns.form import Control, Form
from service.vocabulary import Chemistry
from service.words import word

TYPICAL = "empty: typical of its kind"
SEALER = "sealer."


class SealerWords(SealerBase):
    chemistry: Chemistry


class SealerCreate(SealerWords, RequestBody):
    pass


class SealerPoured(SealerWords, ResponseBody):
    pass


class SealerRead(SealerPoured, Owned):
    pass


def controls() -> list[Control]:
    kinds = listed({kind: word("chemistry", kind) for kind in CHEMISTRIES})
    sealer = Controls(SealerCreate, SEALER)
    return [
        sealer("name", "Name", placeholder="named for you"),
        sealer(
            "chemistry",
            "Kind",
            "choice",
            options=kinds,
            default="water-based-acrylic",
            needed=True,
        ),
        sealer("coats", "Coats", hint=TYPICAL),
        sealer("diluted_coats", "of them thinned"),
        sealer("recoat_min_h", "Next coat not before", hint="2 h"),
        sealer("recoat_max_h", "Next coat not after", hint="24 h; empty: no end"),
        sealer("min_C", "Not colder than", hint=TYPICAL),
        sealer("max_C", "Not warmer than", hint=TYPICAL),
        sealer("max_rh_pct", "Air humidity up to", hint="85 %"),
        sealer("min_age_d", "Age of the piece, days", hint="7"),
        sealer("dew_margin_K", "Surface over the dew point", hint="3 K or 5 F"),
        sealer("hold_h", "Air must hold after the last coat", hint="8 h"),
        sealer("rain_free_h", "No rain for", hint="12 h"),
        sealer("coverage_m2_l", "One coat covers", hint="10 m2/l or 400 ft2/gal"),
        sealer("light_use_h", "Light use after", hint="24 h"),
        sealer("full_use_h", "Full use after", hint="7 d"),
        sealer("dry_rh_pct", "Piece dried down to", hint="85 % at the test depth"),
        sealer("next_after_h", "Another product on it after", hint="24 h"),
        sealer("dwell_h", "Stays wet, then is wiped off, after", hint="20 min; empty: it is not"),
        sealer("price_l", "A litre costs", hint="empty: as any sealer, in the settings"),
    ]


def values(form: Form) -> dict[str, Any]:
    """What a sealer's row shall say."""
    values = form.values_of(SealerCreate, SEALER)
    return {**values, "name": values["name"] or f"{values['chemistry'] or 'Sealer'}".capitalize()}
