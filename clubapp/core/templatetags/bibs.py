"""How a bib is drawn: its colour, its initial, and a hatch that tells it apart in black and white print."""

from __future__ import annotations

from django import template
from django.utils.text import slugify
from django.utils.translation import gettext
from django.utils.translation import gettext_noop as _

register = template.Library()

EDGES = range(-28, 61, 5)  # where lines start and end, on a disc of 32 by 32
RISING = "".join(f"M{x} 32L{x + 32} 0" for x in EDGES)
FALLING = "".join(f"M{x} 0L{x + 32} 32" for x in EDGES)
LEVEL = "".join(f"M0 {y}H32" for y in range(2, 32, 4))
UPRIGHT = "".join(f"M{x} 0V32" for x in range(2, 32, 4))
DOTS = "".join(f"M{x} {y}h1.6" for y in range(2, 32, 4) for x in range(1 + y % 8 // 2, 32, 4))
TEETH = "".join(f"M0 {y}" + "l2 -3l2 3" * 8 for y in range(5, 36, 6))
RINGS = "".join(f"M{16 - r} 16a{r} {r} 0 1 0 {2 * r} 0a{r} {r} 0 1 0 -{2 * r} 0" for r in (11, 13))
SPOKES = "M16 0V32M0 16H32M4.7 4.7 27.3 27.3M27.3 4.7 4.7 27.3"
CORNERS = "M0 9H9V0M32 9H23V0M0 23H9V32M32 23H23V32"

# The colour in English, as the engine calls it, and its hatch; each initial stands once.
HATCHES = {
    _("Red"): RISING,
    _("Blue"): LEVEL,
    _("Green"): UPRIGHT,
    _("Yellow"): DOTS,
    _("Orange"): FALLING,
    _("Violet"): LEVEL + UPRIGHT,
    _("White"): "",
    _("Pink"): RISING + FALLING,
    _("Teal"): TEETH,
    _("Lime"): RINGS,
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
