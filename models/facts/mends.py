"""What may be saved when it went wrong: the windows of a pour that its mend waits for. Rows only.

What each card says is common practice, in service/words; numbers come from where they are named.
"""

from dataclasses import dataclass

from models.facts.after import PATCH_COAT_H, PATCH_LEAST_C, PATCH_SAND_H
from models.facts.blemishes import EFFLORESCES_C
from models.facts.moisture import AFTER_RAIN_USUAL_H, CURLS_AFTER_H
from models.facts.sealers import DEW_MARGIN_K

SCRATCH_MM = 2.0  # a frosted face scratches deeper than this with a key, COMMON_PRACTICE
HAIR_MM = 0.1  # a crack no wider than a hair, COMMON_PRACTICE
WIDE_MM = (
    0.3  # wider than this it is no blemish: width that EN_1992_1_1 table 7.1N allows, the most
)
BROKEN_H = 24.0  # a broken piece goes on best while it is fresh, COMMON_PRACTICE
BACK_FLAT_D = 7.0  # how long a curl is given to go back, COMMON_PRACTICE
BLUSH_CLEARS_D = 3.0  # in warm dry air, COMMON_PRACTICE


@dataclass(frozen=True)
class Mend:
    """A card: the steps of a pour whose hours its mend waits for, and its own numbers, in SI."""

    steps: tuple[str, ...]
    sources: tuple[str, ...]
    numbers: tuple[tuple[str, float], ...] = ()


PATCHED = (("sand_h", PATCH_SAND_H), ("coat_h", PATCH_COAT_H), ("least_C", PATCH_LEAST_C))
MENDS: dict[str, Mend] = {
    "frozen": Mend(("strip", "turn"), ("ACI_306R", "COMMON_PRACTICE"), (("deep_mm", SCRATCH_MM),)),
    "rained-on": Mend(("sand", "patch"), ("UFGS_03700", "COMMON_PRACTICE"), PATCHED),
    "cold-joint": Mend(("turn",), ("ACI_309R", "COMMON_PRACTICE")),
    "stuck-core": Mend(("core", "strip"), ("COMMON_PRACTICE",)),
    "broken-corner": Mend(
        ("patch", "sand"), ("UFGS_03700", "COMMON_PRACTICE"), (("fresh_h", BROKEN_H), *PATCHED)
    ),
    "curl": Mend(
        ("turn", "dry-to-seal", "coat-1"),
        ("CONCRETE_DRYING_SHRINKAGE", "COMMON_PRACTICE"),
        (("back_d", BACK_FLAT_D), ("one_face_h", CURLS_AFTER_H)),
    ),
    "bloom": Mend(
        ("dry-to-seal", "coat-1"),
        ("UFC_3_190_06", "CONCRETE_EFFLORESCENCE", "COMMON_PRACTICE"),
        (("dry_h", AFTER_RAIN_USUAL_H), ("under_C", EFFLORESCES_C)),
    ),
    "blush": Mend(
        ("coat-1", "coat-2"),
        ("UFC_3_190_06", "COMMON_PRACTICE"),
        (("clears_d", BLUSH_CLEARS_D), ("margin_K", DEW_MARGIN_K)),
    ),
    "peel": Mend(
        ("dry-to-seal", "coat-1"),
        ("ASTM_D4263", "UFC_3_190_06", "COMMON_PRACTICE"),
        (("film_h", 16.0),),  # ASTM_D4263: a taped sheet lies so long
    ),
    "crack": Mend(
        ("turn", "patch"),
        ("EN_1992_1_1", "COMMON_PRACTICE"),
        (("hair_mm", HAIR_MM), ("wide_mm", WIDE_MM), *PATCHED),
    ),
}
# by what is told as wrong with a piece, the card that may save it
CARD_OF = {one: one for one in ("crack", "curl", "bloom", "peel", "blush")}
