"""How much of everything goes into a piece of the shop's."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from sqlmodel import Session

from models.coating.film import SealerSystem
from models.coating.finish import checked
from models.errors import InputError
from models.facts.codes import AMERICAN_ZONES
from models.planning.amounts import Amounts, Cast, Choices, amounts
from models.records import Mix, Piece, Sealer, Shop
from service.actions.shop.costs import Costs, of_amounts
from service.actions.shop.learned_work import Learned, learned
from service.actions.windows import scenario_rows
from service.queries.pours import newest
from service.queries.rows import by_name, find, find_shop


@dataclass(frozen=True)
class PieceAmounts:
    """The rows it was asked of, and the answer."""

    piece: Piece
    mix: Mix
    sealer: Sealer | None
    amounts: Amounts
    costs: Costs | None


@dataclass(frozen=True)
class Asked:
    """The rows of a question; None: those that the piece was poured with last."""

    piece: Piece
    mix: Mix | None
    sealer: Sealer | None
    then: tuple[Sealer, ...]
    shop: Shop
    work: Learned = Learned()


def asked(
    session: Session,
    piece_id: int,
    mix_id: int | None = None,
    sealer_id: int | None = None,
    sealer_then: Sequence[int] | None = None,
) -> Asked:
    """What is asked about: the mix and the finish that are told, else those of the last pour, else
    the only mix of the shop. Over another sealer than that of the last pour goes what is told."""
    piece, last = find(session, Piece, piece_id, "piece_id"), newest(session, piece_id)
    if mix_id is None and last is not None:
        mix_id = last.mix_id
    mixes = by_name(session, Mix)
    mix = mixes[0] if len(mixes) == 1 else None
    if mix_id is not None:
        mix = find(session, Mix, mix_id, "mix_id")
    key = sealer_id if sealer_id is not None or last is None else last.sealer_id
    sealer = None if key is None else find(session, Sealer, key, "sealer_id")
    if sealer_then is None:
        sealer_then = last.sealer_then if last is not None and last.sealer_id == key else []
    then = tuple(find(session, Sealer, one, "sealer_then") for one in sealer_then)
    return Asked(piece, mix, sealer, then, find_shop(session), learned(session))


def amounts_of(rows: Asked, choices: Choices) -> PieceAmounts:
    """Raises InputError where the shop has several mixes and none was chosen."""
    if rows.mix is None:
        raise InputError("mix_id", None, "no mix is chosen", "the key of a mix of the shop")
    cast = Cast(
        scenario_rows.shape_of(rows.piece),
        scenario_rows.mixture_of(rows.mix),
        SealerSystem() if rows.sealer is None else scenario_rows.sealer_of(rows.sealer),
        code_of(rows.shop),
        rows.piece.exposed_to_frost,
        tuple(scenario_rows.sealer_of(one) for one in rows.then),
    )
    if cast.then:
        checked((cast.sealer, *cast.then))
    found = amounts(cast, by_shop(choices, rows.shop))
    works = rows.work.work_on(cast.shape, cast.mixture)
    costs = of_amounts(found, works, rows.shop, (rows.sealer, *rows.then))
    return PieceAmounts(rows.piece, rows.mix, rows.sealer, found, costs)


def by_shop(choices: Choices, shop: Shop) -> Choices:
    """With the mixer and the scale of the shop, where nothing else is chosen."""
    mixer = None if choices.batch_bags is not None else shop.mixer_l
    return replace(
        choices,
        batch_l=choices.batch_l or mixer,
        step_g=choices.step_g or shop.scale_g,
    )


def code_of(shop: Shop) -> str:
    """The rules of the shop, else those of its clock."""
    return shop.code or ("ACI" if shop.timezone.startswith(AMERICAN_ZONES) else "EN")
