"""What the care sheet and the page of an owner say alike of a piece."""

from typing import Any

from models.message import Message
from service.actions.record.care_sheet import CareSheet
from service.pages import bears
from service.words import Reader, measure, say
from service.words.instants import instant


def shown(sheet: CareSheet, reader: Reader) -> dict[str, Any]:
    """The values of `_care.html`, but who its maker is."""
    return {
        "shape": say(sheet.shape, reader),
        "reseal": say(_reseal(sheet), reader),
        "known": bears.known(sheet, reader),
        "later": [say(one.what, reader) for one in sheet.from_when if not one.at],
        "by_code": lambda code: say(Message(code), reader),
        "date": lambda at: instant(at, "date", reader),
        "mass": measure(sheet.mass_kg, "mass_kg", reader),
    }


def _reseal(sheet: CareSheet) -> Message:
    low, high = sheet.reseal_years
    if high <= 1:
        months = {"from_months": 12 * low, "to_months": 12 * high}
        return Message("care_reseal_months", months)
    return Message("care_reseal_years", {"from_years": low, "to_years": high})
