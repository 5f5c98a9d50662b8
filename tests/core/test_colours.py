"""Contrast of the colour tokens by WCAG 2.2's formula; OKLCH to linear sRGB by Björn Ottosson's matrices (2020)."""

from __future__ import annotations

import math
import re
from pathlib import Path

import pytest
from django.conf import settings

SHEET = (Path(settings.BASE_DIR) / "static/css/tokens.css").read_text()
RAW = re.compile(r"--raw-([a-z-]+):\s*([\d.]+) ([\d.]+) ([\d.]+);")
OKLab = tuple[float, float, float]


def tokens(start: str) -> dict[str, OKLab]:
    """The raw numbers of the block that begins with `start`."""
    block = SHEET[SHEET.index(start) :].split("}", 1)[0]
    return {name: (float(light), float(chroma), float(hue)) for name, light, chroma, hue in RAW.findall(block)}


DAY = tokens(":root {")
FACES = {
    "day": DAY,
    "night": DAY | tokens(":root:not([data-sun])"),
    "bright sun": DAY | tokens(":root[data-sun]"),
}
# What is read, on what, and the least ratio.
PAIRS = {
    ("ink", "paper"): 12.0,
    ("ink", "pressed"): 7.0,
    ("ink-soft", "paper"): 7.0,
    ("accent", "paper"): 4.5,
    ("on-accent", "accent"): 4.5,
    ("trouble", "paper"): 4.5,
    ("edge", "paper"): 3.0,
    ("chalk", "spruce"): 7.0,
    ("slate", "chalk"): 7.0,
    ("chalk", "lake"): 7.0,
}


def luminance(colour: OKLab) -> float:
    """Relative luminance, clipped to the sRGB gamut."""
    light, chroma, hue = colour
    a, b = chroma * math.cos(math.radians(hue)), chroma * math.sin(math.radians(hue))
    long = (light + 0.3963377774 * a + 0.2158037573 * b) ** 3
    middle = (light - 0.1055613458 * a - 0.0638541728 * b) ** 3
    short = (light - 0.0894841775 * a - 1.2914855480 * b) ** 3
    red = 4.0767416621 * long - 3.3077115913 * middle + 0.2309699292 * short
    green = -1.2684380046 * long + 2.6097574011 * middle - 0.3413193965 * short
    blue = -0.0041960863 * long - 0.7034186147 * middle + 1.7076147010 * short
    red, green, blue = (min(1.0, max(0.0, part)) for part in (red, green, blue))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: OKLab, other: OKLab) -> float:
    dark, bright = sorted((luminance(one), luminance(other)))
    return (bright + 0.05) / (dark + 0.05)


def test_the_formula_knows_black_and_white() -> None:
    assert contrast((1, 0, 0), (0, 0, 0)) == pytest.approx(21, abs=1e-3)
    assert contrast((1, 0, 0), (1, 0, 0)) == 1


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("pair", PAIRS, ids=" on ".join)
def test_what_is_read_stands_out(face: str, pair: tuple[str, str]) -> None:
    above, below = (FACES[face][name] for name in pair)
    assert contrast(above, below) >= PAIRS[pair]


def test_bright_sun_is_black_and_white_only() -> None:
    sun = tokens(":root[data-sun]")
    assert sun.keys() == DAY.keys()
    assert {name for name, (light, chroma, _hue) in sun.items() if chroma or light not in (0, 1)} <= {"pressed", "rule"}
