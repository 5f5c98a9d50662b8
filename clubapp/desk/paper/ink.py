"""The pages' own style sheets as the press takes them. Drawings carry theirs, in plain values: it hands none down."""

from __future__ import annotations

import math
import re
from functools import cache
from pathlib import Path
from re import Match

from django.conf import settings

from clubapp.core import sheets

STATIC = Path(settings.BASE_DIR) / "static"
# Of the frame only what a sheet shows: rules for buttons and forms would be read for nothing, at every PDF.
FRAME = tuple(f"css/{name}.css" for name in ("layers", "reset", "tokens", "base", "components/marks", "print"))
DRAWN = ("css/pages/ground.css", "css/pages/field.css")
INK = {"ink": "black", "edge": "#555", "paper": "white", "pressed": "#eee", "accent": "black", "trouble": "black"}
DRAWING = re.compile(r'<svg class="(ground|bib)[^>]*>')
BIB = re.compile(r'data-bib="(\w+)"')
RAW_BIB = re.compile(r"--bib-(\w+): (oklch\([^)]*\));")
TO_RGB = (
    (4.0767416621, -3.3077115913, 0.2309699292),
    (-1.2684380046, 2.6097574011, -0.3413193965),
    (-0.0041960863, -0.7034186147, 1.7076147010),
)
CHALK_LINED = re.compile(r'\.bib\[data-bib="(\w+)"\] \{[^}]*--bib-line: var\(--bib-chalk\)')


def inked(html: str) -> str:
    """The page with every style it needs in itself."""
    drawn = DRAWING.sub(lambda found: f"{found[0]}<style>{_style_of(found)}</style>", html)
    return drawn.replace("</head>", f"<style>{_sheets()}</style></head>", 1)


@cache
def _sheets() -> str:
    return "".join(_read(name) for name in (*FRAME, *sheets.JOINED[sheets.PAPER]))


def _read(name: str) -> str:
    return (STATIC / name).read_text()


def _style_of(found: Match[str]) -> str:
    bib = BIB.search(found[0])
    return _bib(bib[1]) if bib else _drawings()


@cache
def _drawings() -> str:
    """The screen's rules with black for ink; round letters there is no halo, which would be painted over them here.

    A drawing on a card is half as large as on a phone, so that its letters would be: they are drawn larger.
    """
    rules = "".join(_read(name).partition("@layer pages {")[2].partition("@media print")[0] for name in DRAWN)
    plain = re.sub(r"var\(--(\w+)\)", lambda found: INK[found[1]], rules)
    plain += " .ground-text { stroke: none; font-family: sans-serif; }"
    return f"{plain} .ground:not(.field-ground) > .ground-text:not(.number) {{ font-size: 16px; }}"


@cache
def _bib(key: str) -> str:
    """Its colour, and its hatch in ink or chalk, whichever shows."""
    source = _read("css/components/marks.css")
    raw = dict(RAW_BIB.findall(source))
    line = raw["chalk"] if key in CHALK_LINED.findall(source) else raw["ink"]
    return (
        f".bib-disc {{ fill: {rgb(raw[key])}; }} .bib-hatch {{ fill: none; stroke: {rgb(line)}; stroke-width: 1.5; }}"
        " .bib-edge { fill: none; stroke: black; stroke-width: 1.5; } .bib-hub { fill: white; stroke: black; }"
        " text { font-family: sans-serif; font-weight: 700; font-size: 13px; text-anchor: middle; }"
        " .bib-two { font-size: 9.5px; }"
    )


def rgb(oklch: str) -> str:
    """As printers' programs know it (Ottosson 2020, "A perceptual color space for image processing"), clipped."""
    light, chroma, hue = map(float, oklch.removeprefix("oklch(").removesuffix(")").split())
    a, b = chroma * math.cos(math.radians(hue)), chroma * math.sin(math.radians(hue))
    cones = (
        (light + 0.3963377774 * a + 0.2158037573 * b) ** 3,
        (light - 0.1055613458 * a - 0.0638541728 * b) ** 3,
        (light - 0.0894841775 * a - 1.2914855480 * b) ** 3,
    )
    linear = (sum(weight * cone for weight, cone in zip(row, cones, strict=True)) for row in TO_RGB)
    return f"rgb({', '.join(str(_byte(value)) for value in linear)})"


def _byte(linear: float) -> int:
    """IEC 61966-2-1."""
    value = min(max(linear, 0.0), 1.0)
    return round(255 * (12.92 * value if value <= 0.0031308 else 1.055 * value ** (1 / 2.4) - 0.055))
