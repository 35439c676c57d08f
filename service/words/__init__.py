"""Sentences out of codes and numbers, in the units, clock and language of a reader."""

from service.words.reader import PLAIN, Reader
from service.words.say import say, say_all, sentence, word

__all__ = ["PLAIN", "Reader", "say", "say_all", "sentence", "word"]
