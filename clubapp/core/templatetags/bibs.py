"""How a bib is drawn: its colour, its initial, and a hatch that tells it apart in black and white print."""

from __future__ import annotations

from django import template
from django.utils.text import slugify
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as _

register = template.Library()

# Lines on a disc of 32 by 32, so far apart that the colour stays the colour.
RISING = "".join(f"M{x} 32L{x + 32} 0" for x in range(-28, 61, 6))
FALLING = "".join(f"M{x} 0L{x + 32} 32" for x in range(-28, 61, 8))
LEVEL = "".join(f"M0 {y}H32" for y in range(1, 32, 5))
UPRIGHT = "".join(f"M{x} 0V32" for x in range(1, 32, 5))
SQUARES = "".join(f"M0 {at}H32M{at} 0V32" for at in (4, 10, 16, 22, 28))
DIAMONDS = "".join(f"M{x} 32L{x + 32} 0M{x} 0L{x + 32} 32" for x in range(-28, 61, 8))
DOTS = "".join(f"M{x} {y}h1.6" for y in range(2, 32, 4) for x in range(1 + y % 8 // 2, 32, 4))
TEETH = "".join(f"M0 {y}" + "l2 -3l2 3" * 8 for y in range(5, 36, 9))
RING = "M4 16a12 12 0 1 0 24 0a12 12 0 1 0 -24 0"
SPOKES = "M16 0V32M0 16H32M4.7 4.7 27.3 27.3M27.3 4.7 4.7 27.3"
CORNERS = "M0 9H9V0M32 9H23V0M0 23H9V32M32 23H23V32"

# The colour in English, as the engine calls it, and its hatch; each initial stands once.
HATCHES = {
    _("Red"): RISING,
    _("Blue"): LEVEL,
    _("Green"): UPRIGHT,
    _("Yellow"): DOTS,
    _("Orange"): FALLING,
    _("Violet"): SQUARES,
    _("White"): "",
    _("Pink"): DIAMONDS,
    _("Teal"): TEETH,
    _("Lime"): RING,
    _("Navy"): CORNERS,
    _("Silver"): SPOKES,
}


def _parts(bib: str) -> tuple[str, str]:
    """ "Red 2" is the second set of red bibs."""
    colour, _space, number = str(bib).partition(" ")
    return colour, number


@register.filter
def bib_key(bib: str) -> str:
    return slugify(_parts(bib)[0])


@register.filter
def bib_name(bib: str) -> str:
    colour, number = _parts(bib)
    return f"{gettext(colour)} {number}".strip() if colour else ""


@register.filter
def bib_initial(bib: str) -> str:
    return bib_name(bib)[:1] + _parts(bib)[1]


@register.filter
def bib_hatch(bib: str) -> str:
    return HATCHES.get(_parts(bib)[0], "")
