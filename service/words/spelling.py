"""British spelling and trade words turned into American ones: the catalogue is written in British.

A word is changed wherever it stands by itself, with its small or capital letter kept; what stands
in braces is left alone, since it is a name of a value.
"""

import re

from service.words.reader import Reader

# British -> American, each with its inflections written out: a rule of thumb would change `promise`
WORDS = {
    "aluminium": "aluminum",
    "analyse": "analyze",
    "behaviour": "behavior",
    "bevelled": "beveled",
    "centimetre": "centimeter",
    "centimetres": "centimeters",
    "centre": "center",
    "centred": "centered",
    "centres": "centers",
    "colour": "color",
    "coloured": "colored",
    "colouring": "coloring",
    "colours": "colors",
    "cosy": "cozy",
    "demould": "demold",
    "demoulded": "demolded",
    "demoulding": "demolding",
    "fibre": "fiber",
    "fibres": "fibers",
    "glass-fibre": "glass-fiber",
    "favour": "favor",
    "favourite": "favorite",
    "grey": "gray",
    "greyer": "grayer",
    "greyish": "grayish",
    "harbour": "harbor",
    "judgement": "judgment",
    "kerb": "curb",
    "labelled": "labeled",
    "labelling": "labeling",
    "labour": "labor",
    "levelled": "leveled",
    "levelling": "leveling",
    "licence": "license",
    "litre": "liter",
    "litres": "liters",
    "metre": "meter",
    "metres": "meters",
    "millilitre": "milliliter",
    "millilitres": "milliliters",
    "millimetre": "millimeter",
    "millimetres": "millimeters",
    "mould": "mold",
    "moulded": "molded",
    "moulding": "molding",
    "moulds": "molds",
    "neighbour": "neighbor",
    "neighbours": "neighbors",
    "neighbouring": "neighboring",
    "odour": "odor",
    "organise": "organize",
    "penetrometre": "penetrometer",
    "plough": "plow",
    "polythene": "polyethylene",
    "programme": "program",
    "realise": "realize",
    "recognise": "recognize",
    "self-levelling": "self-leveling",
    "storey": "story",
    "stabilise": "stabilize",
    "sulphate": "sulfate",
    "tonne": "metric ton",
    "tonnes": "metric tons",
    "towards": "toward",
    "travelling": "traveling",
    "tyre": "tire",
    "tyres": "tires",
    "vapour": "vapor",
    "vapours": "vapors",
}
_WORD = re.compile(rf"(\{{[^}}]*\}})|\b({'|'.join(sorted(WORDS, key=len, reverse=True))})\b", re.I)


def american(text: str) -> str:
    """The text in American spelling."""
    return _WORD.sub(lambda found: found[1] or _as(found[2]), text)


def spelt(text: str, reader: Reader) -> str:
    """Words of ours in the reader's English; never what somebody typed."""
    return american(text) if reader.language == "en-US" else text


def _as(word: str) -> str:
    new = WORDS[word.lower()]
    if word.isupper():
        return new.upper()
    return new[:1].upper() + new[1:] if word[:1].isupper() else new
