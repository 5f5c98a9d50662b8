"""Bibs are told apart without colour: by initial and by hatch."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.conf import settings
from django.template.loader import render_to_string

from clubapp.core.templatetags.bibs import HATCHES, bib_initial, bib_key
from clubapp.engine.words import BIBS, bib_names

SHEET = Path(settings.BASE_DIR) / "static/css/components/marks.css"


def drawn(bib: str, **more: object) -> str:
    return render_to_string("core/bib.html", {"bib": bib, **more})


def test_every_bib_has_a_hatch_and_an_initial_of_its_own() -> None:
    assert set(HATCHES) == set(BIBS)
    assert len(set(HATCHES.values())) == len(BIBS)
    assert len({bib_initial(bib) for bib in BIBS}) == len(BIBS)


@pytest.mark.parametrize("bib", BIBS)
def test_every_bib_has_its_colour_in_the_sheet(bib: str) -> None:
    assert f'.bib[data-bib="{bib_key(bib)}"]' in SHEET.read_text()
    assert f'data-bib="{bib_key(bib)}"' in drawn(bib)


def test_a_disc_alone_says_its_colour() -> None:
    assert 'role="img" aria-label="Red"' in drawn("Red")


def test_a_named_disc_says_it_once() -> None:
    html = drawn("Red", named=True)
    assert 'aria-hidden="true"' in html
    assert "aria-label" not in html
    assert re.sub(r"<svg.*</svg>|<[^>]*>", "", html).strip() == "Red"


def test_the_second_set_of_a_colour_carries_its_number() -> None:
    second = bib_names(len(BIBS) + 1)[-1]
    assert bib_initial(second) == "R2"
    assert 'aria-label="Red 2"' in drawn(second)
