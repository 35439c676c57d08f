"""What carries meaning stands out from its ground by 3 to 1, in both themes, as it is rendered.

Ratio and luminance are those of WCAG 2.2 (W3C Recommendation, 2023), "contrast ratio" and "relative
luminance", for 1.4.11 Non-text Contrast; words are axe-core's (test_every_page_for_everyone.py).
"""

import pytest
from playwright.sync_api import Browser

pytestmark = pytest.mark.browser
LEAST, LEAST_OF_WORDS = 3.0, 4.5
PAGES = ("/", "/pours/2", "/pour?piece=2", "/pours/1/mode", "/pours/4/steps", "/week", "/shop")
MARKS = "likely safe missed late done lay meant shall-lie night working rain frost maybe-frost now"
CURVES = "band middle edge section coldest air freezing need ring dot wetted cursor break tie"
PLACE = "here dots piece zero now strip band"

RATIO = """
  const parts = text => text.match(/[0-9.]+/g).map(Number);
  const light = rgb => { const [r, g, b] = rgb.slice(0, 3).map(v => { v /= 255;
      return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; });
    return 0.2126 * r + 0.7152 * g + 0.0722 * b; };
  const ratio = (one, other) => { const [a, b] = [light(one), light(other)];
    return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05); };
  const seen = text => text !== 'none' && !(parts(text)[3] === 0);
  const ground = one => { for (; one; one = one.parentElement) {
      const c = parts(getComputedStyle(one).backgroundColor);
      if (c.length < 4 || c[3] > 0) return c; }
    return parts(getComputedStyle(document.body).backgroundColor); };
"""
# how far marks of these classes stand out, at worst, from the grounds they may lie on
DRAWN = (
    "([picture, kinds, grounds, tag = 'path']) => {"
    + RATIO
    + """
  const svg = [...document.querySelectorAll(picture)].find(one => one.checkVisibility());
  const painted = (tag, kind) => {
    const one = svg.appendChild(document.createElementNS(svg.namespaceURI, tag));
    one.setAttribute('class', kind);
    const {fill, stroke} = getComputedStyle(one);
    one.remove();
    return [fill, stroke].filter(seen).map(parts); };
  const under = [ground(svg), ...grounds.map(kind => painted('rect', kind)[0])];
  return Object.fromEntries(kinds.map(kind => { const colours = painted(tag, kind);
    const best = g => Math.max(0, ...colours.map(c => ratio(c, g)));
    return [kind, Math.min(...under.map(best))]; })); }"""
)
# controls, tags and cards whose edge and own ground both stand out less than that
FAINT = (
    "least => {"
    + RATIO
    + """
  return [...document.querySelectorAll('button, .button, select, textarea, input, .tag, .card, '
      + '.opts label, .chips a, .joint, [aria-current]')]
    .filter(one => one.checkVisibility()
      && !['hidden', 'radio', 'checkbox', 'range'].includes(one.type))
    .filter(one => { const css = getComputedStyle(one), under = ground(one.parentElement);
      const edges = ['Left', 'Top', 'Bottom'].filter(side => parseFloat(css[`border${side}Width`]))
        .map(side => css[`border${side}Color`]).filter(seen).map(parts);
      return Math.max(...[...edges, ground(one)].map(c => ratio(c, under))) < least; })
    .map(one => one.outerHTML.slice(0, 90)); }"""
)


def test_marks_curves_and_edges_stand_out_from_what_they_lie_on(
    chromium: Browser, evening: str
) -> None:
    for scheme in ("light", "dark"):
        page = chromium.new_page(
            base_url=evening,
            service_workers="block",
            viewport={"width": 390, "height": 844},
            color_scheme="dark" if scheme == "dark" else "light",
        )
        page.goto("/pours/1")
        timeline, curves = "svg.timeline", CURVES.split()
        in_rows = page.evaluate(DRAWN, [timeline, MARKS.split(), ["dark"]])
        in_fields = page.evaluate(DRAWN, [timeline, curves, ["dark"]])
        on_band = page.evaluate(DRAWN, [timeline, curves[1:10], ["band"]])
        on_done = page.evaluate(DRAWN, [timeline, ["check"], []])  # a hole in a filled disc
        words = page.evaluate(DRAWN, [timeline, ["soft", "name"], ["dark"], "text"])
        page.goto("/places/1")
        of_place = page.evaluate(DRAWN, ["svg.place", PLACE.split(), ["night"]])
        for told in (in_rows, in_fields, on_band, of_place):
            assert {kind: r for kind, r in told.items() if r < LEAST} == {}, scheme
        assert min(words.values()) >= LEAST_OF_WORDS, scheme
        assert on_done["check"] < 1.1 < LEAST <= in_rows["done"], "a check is cut out of its disc"
        for path in PAGES:
            page.goto(path)
            assert page.evaluate(FAINT, LEAST) == [], f"{path} {scheme}"
        page.close()
