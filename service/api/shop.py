"""The shop's rules, hours, covers and addresses; the calendar's secret address."""

from fastapi import APIRouter
from fastapi.responses import JSONResponse

from models.records import Shop
from models.records.shop import ShopBase
from service import under_path
from service.actions.shop.set_up_shop import change_shop, new_feed_token
from service.api.edition import ChangeDep, LookDep
from service.api.idempotency import IdempotentPostDep
from service.notify import relay
from service.notify.address import masked
from service.nouns.shop import ShopChange, ShopRead
from service.queries.rows import find_shop
from service.request_context import ContextDep

router = APIRouter(tags=["shop"])


@router.get("/shop")
def read_shop(context: ContextDep, edition: LookDep) -> ShopRead:
    with context.store.reading() as session:
        return edition.told(_shop_read(find_shop(session), own=context.asker.is_owner))


@router.patch("/shop")
def patch_shop(wanted: ShopChange, context: ContextDep, edition: ChangeDep) -> ShopRead:
    values = wanted.model_dump(exclude_unset=True)
    if "notice_addresses" in values:
        with context.store.reading() as session:
            stored = find_shop(session).notice_addresses
        allowed = context.settings.allowed_networks
        addresses = [
            relay.checked(f"notice_addresses[{k}]", one, stored, allowed)
            for k, one in enumerate(values["notice_addresses"])
        ]
        values["notice_addresses"] = list(dict.fromkeys(addresses))
    with context.store.unit_of_work() as session:
        before = _shop_read(find_shop(session))
        body = _shop_read(change_shop(session, context.now, values))
        edition.must_have_been(before)
    return edition.told(body)


@router.post("/shop/calendar-address", status_code=201, response_model=ShopRead)
def renew_calendar_address(post: IdempotentPostDep) -> JSONResponse:
    """Withdraw the calendar's address and give another."""
    return post.write(ShopRead, lambda session: _shop_read(new_feed_token(session)))


def _shop_read(shop: Shop, *, own: bool = True) -> ShopRead:
    """Where the calendar is, which whoever knows may read, is told to an owner alone."""
    values = {name: getattr(shop, name) for name in ShopBase.model_fields}
    values["notice_addresses"] = [masked(one) for one in shop.notice_addresses]
    return ShopRead(
        **values,
        notice_address_count=len(shop.notice_addresses),
        calendar_path=f"{under_path.path()}/calendar/{shop.feed_token}.ics" if own else "",
    )
