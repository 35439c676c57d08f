"""The fixed words of templates in the reader's English: respelt once, when they are compiled."""

import re
from collections.abc import Iterable, Iterator

from jinja2.ext import Extension
from jinja2.lexer import Token

from service.words.spelling import american

PARTS = re.compile(r"[<>]|[^<>]+")


class Spelt(Extension):
    """What stands between tags is respelt, where the environment's language is American; names of
    classes, fields and addresses, and what people typed, are not touched."""

    def filter_stream(self, stream: Iterable[Token]) -> Iterator[Token]:
        inside = False  # of a tag, which may go on in a later token
        for token in stream:
            if token.type != "data" or self.environment.globals["language"] != "en-US":
                yield token
                continue
            out = []
            for part in PARTS.findall(token.value):
                inside = part == "<" or (inside and part != ">")
                out.append(part if inside or part == ">" else american(part))
            yield Token(token.lineno, token.type, "".join(out))
