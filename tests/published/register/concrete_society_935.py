"""How far warm mixing water warms a mix."""

from models.concrete import setting
from tests.published.register.check import Check

RISE_K = 50.0  # of the water
PRINTED_K = (10.0, 15.0)  # of the concrete
MIXES = {  # dry kg, water kg
    "bag of 27.2 kg with 2.3 kg of water": (27.2, 2.3),
    "bag of 36.3 kg with 3.0 kg of water": (36.3, 3.0),
    "cubic metre of 350 kg cement, 1850 kg aggregate, 175 kg water": (2200.0, 175.0),
}


def rise_K(dry_kg: float, water_kg: float) -> float:
    """What 50 K more in the water gives in the concrete [K]."""

    def mixed(water_C: float) -> float:
        return setting.mix_temperature(dry_kg=dry_kg, dry_C=5.0, water_kg=water_kg, water_C=water_C)

    return mixed(10.0 + RISE_K) - mixed(10.0)


def _check(words: str, dry_kg: float, water_kg: float) -> Check:
    return Check(
        "CONCRETE_SOCIETY_935",
        f"{words}: rise for 50 K more in the water",
        "K",
        sum(PRINTED_K) / 2,
        lambda: rise_K(dry_kg, water_kg),
        "2.5",
        "page",
        "approximately 10 to 15 K; the middle is shown, half the width allowed",
    )


CHECKS = tuple(_check(words, *masses) for words, masses in MIXES.items())
