"""Before the pour: how much of everything a piece takes, on the phone and on one sheet."""

from collections.abc import Sequence

from fastapi import APIRouter, Request, Response

from models.errors import InputError
from models.records import Mix, Sealer
from service.actions.shop.amounts_of import Asked, PieceAmounts, amounts_of, asked
from service.nouns import amounts as noun
from service.nouns.form import Control, Form
from service.pages import render
from service.pages.amounts_view import Row, Section, notes, sections
from service.pages.form_post import PageRoute, Refused, refuse_faults
from service.pages.prices import cost_rows
from service.queries.rows import by_name
from service.request_context import ContextDep, Key

router = APIRouter(route_class=PageRoute, include_in_schema=False)
OFTEN = ("mix_id", "batch_l", "batch_bags", "step_g", "damp_pct", "more_water_l")


@router.get("/pieces/{piece_id}/amounts")
def show(piece_id: Key, request: Request, context: ContextDep) -> Response:
    query = request.query_params
    typed = {name: query.getlist(name) for name in query}
    reader = context.reader()
    with context.store.reading() as session:
        rows = asked(session, piece_id)
        fields = _fields(rows, by_name(session, Mix), by_name(session, Sealer))
        form = Form.of(fields, typed or None, reader)
        found: PieceAmounts | None = None
        try:
            choices = noun.chosen(form)
            chosen = [form.value(name) for name in ("mix_id", "sealer_id")]
            refuse_faults(form)
            mix_id, sealer_id = (None if one in (None, "") else int(one) for one in chosen)
            if typed:
                rows = asked(session, piece_id, mix_id, sealer_id)
            found = amounts_of(rows, choices.choices) if rows.mix is not None else None
        except Refused:
            pass
        except InputError as error:
            form.refuse(error)
        shown = [] if found is None else sections(found.amounts, reader)
        if found is not None and found.costs is not None:
            rows_of, left = cost_rows(found.costs, reader)
            shown.append(Section("It costs", tuple(Row(*one) for one in rows_of), left))
        return render.page(
            "amounts.html",
            422 if form.wrong or form.messages else 200,
            title=f"How much: {rows.piece.name}",
            tab="shop",
            reader=reader,
            form=form,
            piece=rows.piece,
            mix=rows.mix,
            sealer=rows.sealer,
            sections=shown,
            notes=[] if found is None else notes(found.amounts, reader),
            often=OFTEN,
            rest=[one.name for one in fields if one.name not in OFTEN],
        )


def _fields(rows: Asked, mixes: Sequence[Mix], sealers: Sequence[Sealer]) -> list[Control]:
    def choice(
        name: str,
        label: str,
        offered: Sequence[Mix] | Sequence[Sealer],
        own: Mix | Sealer | None,
        none: str,
    ) -> Control:
        listed = {str(row.id): row.name for row in offered}
        if own is not None:
            listed.setdefault(str(own.id), own.name)
        options = (*((("", none),) if none else ()), *listed.items())
        default = str(own.id) if own is not None else options[0][0] if options else ""
        return Control(name, label, "choice", options=options, default=default)

    return [
        choice("mix_id", "Mix", mixes, rows.mix, "" if rows.mix else "not chosen yet"),
        choice("sealer_id", "Sealer", sealers, rows.sealer, "none"),
        *noun.controls(),
    ]
