"""The shop's own authority: what it is, its certificate, how a phone is told to trust it."""

from cryptography.hazmat.primitives.serialization import Encoding
from cryptography.x509 import Certificate
from fastapi import APIRouter, Response

from service import authority
from service.pages import qr, render
from service.pages.form_post import PageRoute
from service.queries.rows import NoSuchRow
from service.request_context import ContextDep, RequestContext

router = APIRouter(prefix="/authority", route_class=PageRoute, include_in_schema=False)


@router.get("")
def show(context: ContextDep) -> Response:
    certificate = _held(context)
    settings = context.settings
    plain = authority.plain_address(settings)
    return render.page(
        "authority.html",
        title="Let this phone trust castclock",
        reader=context.reader(),
        fingerprint=authority.fingerprint(certificate).split(":"),
        to=settings.address if settings.address.startswith("https://") else "",
        code=qr.drawn(qr.address(settings, plain, "") and plain),
    )


@router.get("/castclock.crt")
def certificate(context: ContextDep) -> Response:
    """In the form that both phone systems take."""
    content = _held(context).public_bytes(Encoding.DER)
    return Response(content, media_type="application/x-x509-ca-cert")


def _held(context: RequestContext) -> Certificate:
    found = authority.held(context.settings.data)
    if found is None:
        allowed = "castclock serve --lan --https, which makes one"
        raise NoSuchRow("authority", "none", "no authority of its own", allowed)
    return found
