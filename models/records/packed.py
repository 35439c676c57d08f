"""A document that is kept compressed, since it is long and only ever read as a whole."""

import base64
import json
import zlib
from typing import Any

from sqlalchemy import JSON, Dialect
from sqlalchemy.types import TypeDecorator

KEY = "zlib"


def packed(document: Any) -> dict[str, str]:
    """The document as what stands in its row; text, so that any tool can move it."""
    text = json.dumps(document, separators=(",", ":"), ensure_ascii=False)
    return {KEY: base64.b64encode(zlib.compress(text.encode())).decode()}


def unpacked(kept: Any) -> Any:
    """The document of a row; one that was kept before they were packed is read as it is."""
    if not isinstance(kept, dict) or kept.keys() != {KEY}:
        return kept
    return json.loads(zlib.decompress(base64.b64decode(kept[KEY])))


class Packed(TypeDecorator[Any]):
    """JSON that holds its document packed; None is NULL."""

    impl = JSON(none_as_null=True)
    cache_ok = True

    def process_bind_param(self, value: Any, dialect: Dialect) -> Any:
        del dialect
        return None if value is None else packed(value)

    def process_result_value(self, value: Any, dialect: Dialect) -> Any:
        del dialect
        return unpacked(value)
