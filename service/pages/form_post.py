"""What a page's form posts: read, done once, answered by a redirect or by the form again."""

import hashlib
from collections.abc import Callable, Coroutine, Iterable
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Annotated, Any
from urllib.parse import unquote

from fastapi import Depends, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import RedirectResponse
from fastapi.routing import APIRoute
from sqlmodel import Session
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import FormData, UploadFile
from starlette.exceptions import HTTPException

from models.errors import Conflict, Doubtful, InputError
from models.records import Pour
from service.nouns import blame
from service.nouns.form import Control, Form, read
from service.pages import flash, render
from service.pages.flash import Landing
from service.problem import AGAIN_IN_S
from service.queries.rows import NoSuchRow, find
from service.request_context import (
    LONGEST_KEY,
    ContextDep,
    KeyReused,
    RequestContext,
    RequestKey,
    request_context,
)
from service.store import TROUBLE, trouble
from service.store.writer import writer
from service.who_may import TROUBLED
from service.words import PLAIN, Reader, spelt

MOST = {"max_fields": 900}  # a piece of twelve openings and inserts, each with its unit
TAPPED = Control("tapped_at", "Tapped at", "moment")
CLOCKS_AGREE = timedelta(minutes=5)  # by which a phone's clock may be ahead
PASSWORDS = {
    "old": "The password you have",
    "password": "Password",
    "passkey_password": "The password you have",
}
SECRETS = {  # by name, as it is typed once more
    **PASSWORDS,
    "mail_password": "Its password",
    "bot_token": "The bot's token",
    "other": "Address",
}
# a digest of a password can be guessed; a phone's first try tells no hour, its second does
UNTOLD = ("key", *PASSWORDS, TAPPED.name)
# of a form that a phone kept: who wrote it, as in an address, and what its script is answered
WROTE = "Castclock-Outbox"
SOMEBODY_ELSE = 412
BY_SCRIPT = {303: 201, 200: 409}  # stored, with where it leads to; asked about, not stored yet
SENT_BEFORE = (
    "This form has been sent already, with other values, and was stored then."
    " Send it again if these are a further entry."
)


class Refused(Exception):
    """The form goes back to the maker, with what is wrong beside each field."""

    def __init__(self, form: Form) -> None:
        self.form = form
        super().__init__(form.wrong, form.messages)


def is_own_path(path: str) -> bool:
    """Whether a browser stays here when it is led there: two strokes name another site."""
    return path.startswith("/") and not path.startswith(("//", "/\\"))


def refuse_faults(form: Form) -> None:
    """Raise Refused where something in the form is wrong."""
    if form.wrong or form.messages:
        raise Refused(form)


@dataclass(frozen=True)
class FormPost:
    """One POST of a form: its context, its fields, and its key."""

    context: RequestContext
    path: str
    fields: dict[str, list[str]]
    new_places: list[int] = field(default_factory=list)  # whose weather is fetched once all is kept

    def form(self, controls: Iterable[Control]) -> Form:
        """What was sent, in the units of whoever sent it."""
        return Form.of(controls, self.fields, self.context.reader())

    def text(self, name: str) -> str:
        """The last value of a field, without blanks around it."""
        values = self.fields.get(name)
        return values[-1].strip() if values else ""

    @property
    def happened_at(self) -> datetime:
        """When it was tapped: now, or what a phone says that kept it while it had no signal."""
        text, now = self.text(TAPPED.name), self.context.now
        at = read(TAPPED, text, "UTC") if text else now
        if at > now + CLOCKS_AGREE:
            raise InputError(TAPPED.name, text, "later than now", "an hour that has been")
        return min(at, now)

    def write(
        self,
        form: Form,
        work: Callable[[Session], str | Landing],
        again: Callable[[], Response] | None = None,
    ) -> Response:
        """Do `work`, which says where to go next, in one transaction; a repeat only goes there.

        A Landing also says there what was stored, and how it is taken back.

        again : the page with the form, for what is refused; without one Refused is raised
        Raises NoSuchRow when the address itself is wrong.
        """
        try:
            return self._written(form, work)
        except Refused:
            if again is None:
                raise
            return again()

    def _written(self, form: Form, work: Callable[[Session], str | Landing]) -> Response:
        refuse_faults(form)
        key = self.text("key")

        def body(session: Session) -> dict[str, Any]:
            done = work(session)
            return (Landing(done) if isinstance(done, str) else done).body()

        try:
            answer = self.context.once(RequestKey(key or None, self._fingerprint()), 303, body)
        except Doubtful as error:
            form.ask(error.doubts)
            raise Refused(form) from None
        except InputError as error:
            if isinstance(error, NoSuchRow) and error.field not in form.fields:
                raise
            if isinstance(error, KeyReused):
                form.messages.append(SENT_BEFORE)
            else:
                form.refuse(error)
            raise Refused(form) from None
        if not answer.repeated:
            for place_id in self.new_places:
                self.context.fetch_weather(place_id)
        response = RedirectResponse(str(answer.body["location"]), 303)
        flash.name_it(response, key, answer.body)
        return response

    def _fingerprint(self) -> str:
        sent = sorted((name, values) for name, values in self.fields.items() if name not in UNTOLD)
        return hashlib.sha256(f"{self.path}\n{sent}".encode()).hexdigest()


def form_action(
    post: FormPost,
    pour_id: int,
    work: Callable[[Session, datetime], object],
    outcome: str,
    undo: str = "",
    **fields: str,
) -> Response:
    """A button of a pour without fields; back to its page, which says `saved_OUTCOME`.

    undo : the end of the address that its undo is posted to, with its fields
    """
    page = f"/pours/{pour_id}"

    def store(session: Session) -> Landing:
        find(session, Pour, pour_id, "pour_id")
        done = work(session, post.context.now)
        if isinstance(done, Landing):
            return done
        back = f"{page}/{undo}" if undo else ""
        return Landing(page, f"saved_{outcome}", undo=back, fields=fields)

    return post.write(Form.of([]), store)


async def form_post(request: Request, context: ContextDep) -> FormPost:
    """The dependency of every POST of a page."""
    return FormPost(context, request.url.path, _texts(await request.form(max_files=0, **MOST)))


@dataclass(frozen=True)
class FilePost:
    """One POST of a form with a file; its content is part of the fingerprint of `post`."""

    post: FormPost
    content: bytes


async def file_post(request: Request, context: ContextDep) -> FilePost:
    """The dependency of a POST with a file: of two ways to choose one, the way that was used."""
    async with request.form(max_files=2, **MOST) as form:
        fields, content = _texts(form), b""
        for name, value in form.multi_items():
            if isinstance(value, UploadFile) and value.size:
                content = await value.read()
                fields[name] = [hashlib.sha256(content).hexdigest()]
    return FilePost(FormPost(context, request.url.path, fields), content)


def _texts(form: FormData) -> dict[str, list[str]]:
    fields: dict[str, list[str]] = {}
    for name, value in form.multi_items():
        if isinstance(value, str):
            fields.setdefault(name, []).append(value)
    return fields


async def _again(request: Request, why: str) -> Response:
    """The database has trouble: what was typed is kept on a page, to be sent again as it is."""
    form = await request.form(max_files=2, **MOST) if request.method == "POST" else FormData()
    texts = [(name, value) for name, value in form.multi_items() if isinstance(value, str)]
    answer = render.page(
        "again.html",
        503,
        title="Not stored yet" if request.method == "POST" else "Not to be read just now",
        why=why,
        sends=request.method == "POST",
        action=f"{request.url.path}?{request.url.query}".rstrip("?"),
        fields=[one for one in texts if one[0] not in SECRETS],
        secrets={name: SECRETS[name] for name, value in texts if name in SECRETS and value},
        files=sorted({name for name, value in form.multi_items() if not isinstance(value, str)}),
    )
    answer.headers["Retry-After"] = f"{AGAIN_IN_S}"
    return answer


FormPostDep = Annotated[FormPost, Depends(form_post)]
FilePostDep = Annotated[FilePost, Depends(file_post)]


async def _telling(
    request: Request, handle: Callable[[Request], Coroutine[Any, Any, Response]]
) -> Response:
    """The page, and on it once what the form before it has stored."""
    key = request.cookies.get(flash.COOKIE, "")[:LONGEST_KEY]
    if request.method != "GET" or not key or request.url.path.startswith("/static/"):
        return await handle(request)

    def look() -> flash.Saved | None:
        context = request_context(request)
        with context.store.reading() as session:
            return flash.of_key(session, key, context.reader())

    with flash.saying(await run_in_threadpool(look)):
        response = await handle(request)
    response.delete_cookie(flash.COOKIE, httponly=True, samesite="lax")
    return response


def _reader(request: Request) -> Reader:
    try:
        return request_context(request).reader()
    except TROUBLE:
        return PLAIN


def _plainly(error: InputError, path: str, reader: Reader) -> str:
    """What is not there, or was not taken, without the names that programs give it."""
    if isinstance(error, NoSuchRow) and error.field == "address":
        return f"Nothing is at {path}."
    if isinstance(error, NoSuchRow) and isinstance(error.value, int):
        return f"There is {error.wrong.replace('such ', '')} {error.value}."
    return blame.above(error, reader)


class PageRoute(APIRoute):
    """A page's errors are pages: what is wrong, what is allowed, the way back."""

    def get_route_handler(self) -> Callable[[Request], Coroutine[Any, Any, Response]]:
        handle = super().get_route_handler()

        async def guarded(request: Request) -> Response:
            path = request.url.path

            def page(status: int, title: str, *problems: str) -> Response:
                return render.trouble(path, status, title, problems)

            async def told(status: int, title: str, error: InputError) -> Response:
                reader = await run_in_threadpool(_reader, request)
                return page(status, title, spelt(_plainly(error, path, reader), reader))

            try:
                return await _telling(request, handle)
            except Refused as refused:
                problems = (*refused.form.messages, *refused.form.wrong.values())
                return page(422, "This was not taken", *problems)
            except TROUBLE as error:
                why = trouble(error)
                if not why:
                    raise
                return await _again(request, why)
            except Conflict as conflict:
                return page(409, "Done meanwhile", f"{conflict.what}: {conflict.by_whom}.")
            except NoSuchRow as error:
                return await told(404, "Not found", error)
            except InputError as error:
                return await told(422, "This was not taken", error)
            except RequestValidationError:
                return page(404, "Not found", f"Nothing is at {path}.")
            except HTTPException as error:
                title = "Not found" if error.status_code == 404 else "This was not taken"
                return page(error.status_code, title, str(error.detail))

        async def answered(request: Request) -> Response:
            wrote = request.headers.get(WROTE)
            if wrote is None or request.method != "POST":
                return await guarded(request)
            name = unquote(wrote)
            if TROUBLED not in request.scope and name != writer.get():
                if not name:  # to be mended by hand: nobody would ever come whose it is
                    problem = "Nobody was signed in when this was written: send it as yours."
                    return render.trouble(request.url.path, 422, "Whose is it?", [problem])
                problem = f"{name} wrote this: it is taken when {name} is signed in."
                return render.trouble(request.url.path, SOMEBODY_ELSE, "Not yours", [problem])
            answer = await guarded(request)
            answer.status_code = BY_SCRIPT.get(answer.status_code, answer.status_code)
            return answer

        return answered
