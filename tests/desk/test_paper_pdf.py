"""The sheets as PDF, read as a printer's program reads them: pages, words, and where on the page they stand."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest
from django.template.loader import render_to_string
from django.urls import reverse

from clubapp.desk.paper import emergency, ink, press, sheets
from clubapp.engine.words import BIBS
from clubapp.planning import field_page
from clubapp.planning.library.shelf import standard
from clubapp.planning.models import Session, Station
from tests.cast import Cast
from tests.desk.papers import FAMILY_NAMES, filled
from tests.needs import missing

MM = 72 / 25.4
WIDE, HIGH = 210 * MM, 297 * MM
EDGE = 10 * MM  # what a printer may leave white, and a little more
PAGES = {  # of children: of each sheet
    12: {"session": 2, "stations": 2, "register": 1, "emergency": 1},
    24: {"session": 2, "stations": 3, "register": 1, "emergency": 2},
    40: {"session": 2, "stations": 4, "register": 2, "emergency": 3},
}
GROUPS = {12: 3, 24: 6, 40: 8}


@pytest.fixture(scope="module", autouse=True)
def the_press() -> None:
    try:
        import pypdfium2
        import weasyprint
    except (ImportError, OSError, DeprecationWarning):
        missing("the PDF needs `pip install -e '.[test]'` and Pango (Debian: libpangoft2-1.0-0 libharfbuzz-subset0)")
    assert pypdfium2
    assert weasyprint


@dataclass(frozen=True)
class Printed:
    """words: of every page, spaces as one; outside: what stands in the white edge or beyond the paper."""

    words: Sequence[str]
    outside: Sequence[str]
    sizes: set[tuple[int, int]]

    @property
    def text(self) -> str:
        return " ".join(self.words)


def printed(made: bytes) -> Printed:
    import pypdfium2

    words, outside, sizes = [], [], set()
    with pypdfium2.PdfDocument(made) as file:
        for number in range(len(file)):
            page = file[number]
            text = page.get_textpage()
            words.append(re.sub(r"\s+", " ", text.get_text_range()))
            for at, letter in enumerate(text.get_text_range()):
                left, bottom, right, top = text.get_charbox(at)
                if letter.strip() and not (EDGE < left < right < WIDE - EDGE and EDGE / 2 < bottom < top < HIGH - EDGE):
                    outside.append(f"{number + 1}: {letter}")
            sizes.add((round(page.get_width() / MM), round(page.get_height() / MM)))
            text.close()
            page.close()
    return Printed(words, outside, sizes)


def laid_out(session: Session, name: str, **more: Any) -> Printed:
    context = {
        "session": session,
        "as_of": sheets.as_of(session),
        "name": name,
        "body": f"desk/paper_{name}.html#sheet",
    }
    return printed(press.lay_out(ink.inked(render_to_string("desk/paper_bare.html", context | more))))


def all_of(cast: Cast, session: Session) -> dict[str, Printed]:
    rows = {"spare_children": range(sheets.SPARE_CHILDREN), "spare_adults": range(sheets.SPARE_ADULTS)}
    return {
        "session": laid_out(session, "session", sheet=sheets.session_sheet(session)),
        "stations": laid_out(session, "stations", pockets=sheets.pockets(session)),
        "register": laid_out(session, "register", lines=sheets.lines(cast.hazel, session), **rows),
        "emergency": laid_out(session, "emergency", sheet=emergency.emergency_sheet(session, cast.hazel)),
    }


def wordiest_first() -> list[str]:
    said = {code: card.as_json() | {"diagram": "", "sources": ""} for code, card in standard().items()}
    return sorted(said, key=lambda code: -len(str(said[code])))


def every_word(made: Printed, codes: Sequence[str]) -> None:
    """Two cards share a page, whatever stands on them, and nothing of it is lost."""
    assert (len(made.words), made.outside) == (-(-len(codes) // 2), [])
    for at, code in enumerate(codes):
        card = standard()[code]
        for line in (card.purpose, *card.how, *card.look_for, card.easier, card.harder, *card.cautions):
            assert plain(line) in plain(made.words[at // 2]), code


@pytest.mark.parametrize("children", [40, *(pytest.param(few, marks=pytest.mark.long) for few in (12, 24))])
def test_every_sheet_fits_its_pages_and_nothing_is_cut_off(cast: Cast, children: int) -> None:
    codes = wordiest_first()[: GROUPS[children]]
    session = filled(cast, children, GROUPS[children], codes)
    made = all_of(cast, session)
    assert {name: len(sheet.words) for name, sheet in made.items()} == PAGES[children]
    for name, sheet in made.items():
        assert (name, sheet.sizes, sheet.outside) == (name, {(210, 297)}, [])
    names = [child.given_name for child in session.squad.athletes.all()]
    assert len(names) == children
    for name in names:
        assert re.search(rf"\b{name}\b", made["session"].words[0]), name
        for sheet in ("register", "emergency"):
            assert re.search(rf"\b{name}\b", made[sheet].text), (sheet, name)
    assert made["register"].text.count(FAMILY_NAMES[1]) == children // 4
    assert made["emergency"].text.count("ring the emergency number.") == -(-children // 3)
    for page in made["emergency"].words:
        assert "For the leader alone. Destroy it after the session." in page
    for bib in BIBS[: GROUPS[children]]:
        assert bib in made["session"].words[0]
    assert made["session"].words[0].count("10:05") == 2  # in the timeline and in the grid
    stations = list(Station.objects.filter(session=session))
    for one in stations:
        assert f"{one.name} first cone" in made["session"].words[1]
    for words in field_page.page_of(session).bag:
        assert words in made["session"].words[1]
    every_word(made["stations"], codes)


@pytest.mark.long
def test_every_card_of_the_library_fits_half_a_page(cast: Cast) -> None:
    """The wordiest do in the default run."""
    codes = wordiest_first()
    session = filled(cast, 12, 6)
    for first in range(0, len(codes), 6):
        chosen = codes[first : first + 6]
        Station.objects.filter(session=session, number__gt=len(chosen)).delete()
        for station, code in zip(Station.objects.filter(session=session), chosen, strict=True):
            card = standard()[code]
            Station.objects.filter(pk=station.pk).update(
                name=card.name, activity=code, diagram=card.diagram, kit=card.kit_all
            )
        every_word(laid_out(session, "stations", pockets=sheets.pockets(session)), chosen)


def plain(words: str) -> str:
    """Without spaces and hyphens, which a line's end may take or add."""
    return re.sub(r"[\s\W]+", "", words)


def test_a_card_longer_than_half_a_page_takes_the_page_it_needs(cast: Cast) -> None:
    cast.session.stations.filter(number=2).update(set_up="\n".join(f"Step {n}." for n in range(1, 61)))
    made = laid_out(cast.session, "stations", pockets=sheets.pockets(cast.session))
    assert made.outside == []
    assert "Step 1." in made.text
    assert "Step 60." in made.text
    assert len(made.words) <= 4


def test_a_sheet_reaches_for_nothing(tmp_path: Path) -> None:
    drawing = tmp_path / "drawing.svg"
    drawing.write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" width="90" height="20"><text y="15">reached</text></svg>'
    )
    made = printed(press.lay_out(f'<p>A sheet</p><img alt="kept out" src="{drawing.as_uri()}">'))
    assert "A sheet" in made.text
    assert "reached" not in made.text


def test_every_bib_has_its_colour_and_its_hatch_on_paper() -> None:
    """Colours worked out by an independent program: CSS Color 4's own sample code."""
    assert ink.rgb("oklch(0.627955 0.257683 29.2339)") == "rgb(255, 0, 0)"
    assert ink.rgb("oklch(0.452014 0.313214 264.052)") == "rgb(0, 0, 255)"
    assert ink.rgb("oklch(1 0 0)") == "rgb(255, 255, 255)"
    drawn = {bib: ink.inked(f'<svg class="bib" data-bib="{bib.lower()}">') for bib in BIBS}
    colours = {re.search(r"\.bib-disc { fill: (rgb\([^)]*\))", html)[1] for html in drawn.values()}  # type: ignore[index]
    assert len(colours) == len(BIBS)
    assert "stroke: rgb(8, 9" not in drawn["Red"]


def test_the_address_gives_a_file_that_nothing_on_the_way_keeps(cast: Cast) -> None:
    path = reverse("desk:paper_register", args=[cast.session.pk])
    answer = cast.client(cast.finn).get(path, {"as": "pdf"})
    assert (answer["Content-Type"], answer["Cache-Control"]) == ("application/pdf", "no-store")
    assert answer["Content-Disposition"] == f'inline; filename="register-saturday-{cast.session.date}.pdf"'
    assert "Ada Reed" in printed(answer.content).text
