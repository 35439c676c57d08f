"""Sentences out of codes and numbers, in the units, clock and language of a reader."""

from service.words.instants import instant
from service.words.measures import measure
from service.words.numbers import chance
from service.words.reader import PLAIN, SI, US, Reader, Units
from service.words.say import say, say_all, sentence, word
from service.words.spelling import spelt
from service.words.typed_source import source

__all__ = [
    "PLAIN",
    "SI",
    "US",
    "Reader",
    "Units",
    "chance",
    "instant",
    "measure",
    "say",
    "say_all",
    "sentence",
    "spelt",
    "source",
    "word",
]
