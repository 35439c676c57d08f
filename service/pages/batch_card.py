"""What goes into the next batch of a pour: a card to tick while the mixer turns."""

from dataclasses import dataclass

from models.errors import InputError
from models.planning.amounts import Cast, Choices, amounts, bag_yield_l
from service.actions.shop.amounts_of import by_shop
from service.actions.windows import scenario_rows
from service.nouns import blame
from service.nouns.form import Control, read
from service.pages.amounts_view import Section, batch_section
from service.pages.page_data import PourData
from service.queries.rows import find_shop
from service.request_context import RequestContext
from service.words import Reader

DAMP = Control("damp_pct", "Sand is damp by", dimension="percent")


@dataclass(frozen=True)
class Card:
    """The parts in their order, or why there are none; `damp`: whether sand is to be asked of."""

    section: Section | None
    damp: bool
    wrong: str = ""


def of_pour(
    context: RequestContext, data: PourData, bags: float, damp: str, reader: Reader
) -> Card | None:
    """By the mix as it was poured; None where nothing tells how large a batch is.

    bags : in a batch; damp : as it was typed, all water on the sand
    """
    if data.pour.closed_at is not None:
        return None
    with context.store.reading() as session:
        shop = find_shop(session)
    sand = any(part["kind"] == "sand" for part in data.mix.recipe)
    try:
        mixture = scenario_rows.mixture_of(data.mix)
        choices = Choices(
            batch_bags=bags if bag_yield_l(mixture) else None,
            damp_pct=float(read(DAMP, damp.strip(), "UTC")) if damp.strip() else None,
        )
        cast = Cast(scenario_rows.shape_of(data.piece), mixture)
        found = amounts(cast, by_shop(choices, shop)).batches
    except InputError as error:
        return Card(None, sand, blame.beside(error, DAMP.read_by(reader), reader))
    return None if found is None else Card(batch_section(found, reader), sand)
