"""A shop is deleted for good by an owner who types its name."""

from fastapi import APIRouter, Request, Response
from fastapi.responses import RedirectResponse

from models.errors import InputError
from service.actions.shop import whole_shop
from service.nouns.form import Control, Form
from service.pages import render
from service.pages.form_post import FormPostDep, PageRoute
from service.queries.rows import find_shop
from service.request_context import ContextDep, RequestContext
from service.signed_in import forget
from service.store.shops import ALL, within

router = APIRouter(prefix="/shop/delete", route_class=PageRoute, include_in_schema=False)
TYPED = Control("shop_name", "Its name, as it stands above", needed=True)


@router.get("")
def ask(context: ContextDep) -> Response:
    return _page(context, Form.of([TYPED], None, context.reader()))


@router.post("")
def delete(request: Request, post: FormPostDep) -> Response:
    """Nothing is left but the way to sign in; whose name was mistyped is told so."""
    context, form = post.context, post.form([TYPED])
    with within(ALL), context.store.unit_of_work() as session:
        name = find_shop(session, context.asker.shop_id).name
        if form.value(TYPED.name) == name:
            whole_shop.delete_shop(session, context.now, context.asker.shop_id)
        elif not form.wrong:
            allowed = f"{name}, letter by letter"
            form.refuse(InputError(TYPED.name, post.text(TYPED.name), "another name", allowed))
    if form.wrong:
        return _page(context, form, 422)
    answer = RedirectResponse("/sign-in", 303)
    forget(answer, request.scope)
    answer.headers["Clear-Site-Data"] = '"cache", "storage"'  # what this phone kept of it too
    return answer


def _page(context: RequestContext, form: Form, status: int = 200) -> Response:
    with context.store.reading() as session:
        name = find_shop(session).name
    return render.page(
        "delete_shop.html",
        status,
        title="Delete this shop",
        tab="shop",
        reader=context.reader(),
        name=name,
        form=form,
    )
