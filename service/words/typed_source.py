"""Where weather comes from, as it is told: two typed temperatures in the units of the reader."""

import re

from service.words.measures import measure
from service.words.reader import Reader

TYPED = re.compile(r"typed by hand: night \S+ C, day \S+ C")
DEGREES = re.compile(r"(\S+) C\b")


def source(text: str, reader: Reader) -> str:
    """`typed by hand: night 20 °F, day 41 °F`; any other source as it is called."""

    def in_units(found: re.Match[str]) -> str:
        return measure(float(found[1]), "temperature_C", reader)

    return TYPED.sub(lambda pair: DEGREES.sub(in_units, pair[0]), text)
