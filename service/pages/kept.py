"""What is read later on a phone that has no signal: a page must not speak of the present then.

What is true now alone is marked, with what stands in its place later; the phone's worker puts that
there as it keeps the page.
"""

from markupsafe import Markup

MARK = "<!--live-->"


def live(now: str, then: str = "") -> Markup:
    """A part of a page that is true of the present, and `then`, in its place on a page kept."""
    now, then = Markup.escape(now), Markup.escape(then)
    if MARK in now + then:
        raise ValueError(f"a part of the present within another: {now}")
    return Markup(MARK) + now + Markup("<!--then") + then + Markup("-->")
