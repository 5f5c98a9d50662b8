"""The cue caller's own colours, in ordinary light and in bright sun."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from django.conf import settings

from clubapp.engine.cues import WORDS
from tests.core.test_colours import OKLab, contrast

SHEET = (Path(settings.BASE_DIR) / "static/css/pages/caller.css").read_text()
CUE = re.compile(r"--cue-([a-z]+):\s*oklch\(([\d.]+) ([\d.]+) ([\d.]+)\);")


def cues(start: str) -> dict[str, OKLab]:
    block = SHEET[SHEET.index(start) :].split("}", 1)[0]
    return {name: (float(light), float(chroma), float(hue)) for name, light, chroma, hue in CUE.findall(block)}


DAY = cues(":root {")
LIGHTS = {"day": DAY, "bright sun": DAY | cues(":root[data-sun]")}
INK = {"red": "light", "blue": "light", "yellow": "dark", "white": "dark", "dark": "light"}


def test_every_colour_that_is_called_has_a_field() -> None:
    assert set(WORDS["colours"]) | {"dark"} == INK.keys()
    assert INK.keys() <= DAY.keys()


@pytest.mark.parametrize("light", LIGHTS)
@pytest.mark.parametrize("field", INK)
def test_the_word_stands_out_from_its_field(light: str, field: str) -> None:
    colours = LIGHTS[light]
    assert contrast(colours[INK[field]], colours[field]) >= 7


@pytest.mark.parametrize("field", ["yellow", "white"])
def test_light_fields_have_dark_letters(field: str) -> None:
    """Which letters a field has is said in one rule of the sheet."""
    rule = re.search(r"\.cue:is\(([^{]*)\) \{ color: var\(--cue-dark\)", SHEET)
    assert rule is not None
    assert f'[data-colour="{field}"]' in rule.group(1)
