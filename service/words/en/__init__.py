"""The words of English: code -> template, by what is spoken of.

Codes are lower case with underscores, what is spoken of first: `frost_risk`, `coat_too_late`.
A vocabulary is `name.word`: `step.coat-1`, said wherever a value of that name is told.
"""

from service.words.en import (
    alerts,
    amounts,
    batches,
    care,
    checks,
    coats,
    covers,
    doctor,
    doubts,
    faults,
    finishes,
    fires,
    fits,
    hazards,
    honesty,
    likeness,
    mends,
    mould,
    moulds,
    notices,
    orders,
    owners,
    pictures,
    pieces,
    pours,
    printed,
    records,
    saved,
    screens,
    series,
    settings,
    shapes,
    steps,
    today,
    turning,
    weather,
)

TEMPLATES = {
    **steps.TEMPLATES,
    **alerts.TEMPLATES,
    **batches.TEMPLATES,
    **pours.TEMPLATES,
    **weather.TEMPLATES,
    **notices.TEMPLATES,
    **owners.TEMPLATES,
    **coats.TEMPLATES,
    **doctor.TEMPLATES,
    **doubts.TEMPLATES,
    **faults.TEMPLATES,
    **finishes.TEMPLATES,
    **fires.TEMPLATES,
    **fits.TEMPLATES,
    **hazards.TEMPLATES,
    **moulds.TEMPLATES,
    **care.TEMPLATES,
    **checks.TEMPLATES,
    **pictures.TEMPLATES,
    **pieces.TEMPLATES,
    **amounts.TEMPLATES,
    **mends.TEMPLATES,
    **mould.TEMPLATES,
    **honesty.TEMPLATES,
    **likeness.TEMPLATES,
    **records.TEMPLATES,
    **saved.TEMPLATES,
    **printed.TEMPLATES,
    **today.TEMPLATES,
    **settings.TEMPLATES,
    **shapes.TEMPLATES,
    **screens.TEMPLATES,
    **orders.TEMPLATES,
    **covers.TEMPLATES,
    **turning.TEMPLATES,
    **series.TEMPLATES,
}
# what moved is named by its key
TEMPLATES |= {
    code.replace("step.", "key.", 1): text
    for code, text in steps.TEMPLATES.items()
    if code.startswith("step.")
}
