"""Parse and check what is typed about venues and kit."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from clubapp.engine.layout import simple
from clubapp.planning.actions import VenueDetails
from clubapp.planning.forms import kit_from
from clubapp.planning.models import Spot, Venue

LARGEST_M, MOST_CORNERS, MOST_CLOSED = 200.0, 12, 12
NUMBER = r"\s*([0-9]{1,3}(?:\.[0-9]{1,2})?)\s*"
SPOT = re.compile(f"{NUMBER},{NUMBER}")
CLOSED = re.compile(f"\\s*([^:,\n]{{1,40}}?)\\s*:{NUMBER},{NUMBER},{NUMBER},{NUMBER}")
METRES: dict[str, Any] = {
    "min_value": 2,
    "max_value": LARGEST_M,
    "required": False,
    "widget": forms.NumberInput(attrs={"step": "0.1"}),
}


class VenueForm(forms.Form):
    """A rectangle by two lengths, or any shape by its corners."""

    name = forms.CharField(label=_("Name"), max_length=80)
    indoors = forms.BooleanField(label=_("Indoors"), required=False)
    wide = forms.FloatField(label=_("Metres from west to east"), **METRES)
    long = forms.FloatField(label=_("Metres from south to north"), **METRES)
    corners = forms.CharField(
        label=_("Or its corners"),
        max_length=300,
        required=False,
        help_text=_("Where it is no rectangle: metres east and north of one point, like 0,0; 40,0; 40,30; 10,35"),
    )
    closed = forms.CharField(
        label=_("Hazards and strips where nothing may stand"),
        max_length=800,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("A line each: name: metres east, metres north, width, length. Like goal: 0, 12.5, 2, 5"),
    )
    water = forms.CharField(
        label=_("Water"), max_length=20, required=False, help_text=_("Metres east and north, like 2,15")
    )
    first_aid = forms.CharField(
        label=_("First-aid point"), max_length=20, required=False, help_text=_("Metres east and north, like 20,0")
    )
    first_aid_at = forms.CharField(
        label=_("First aid, in words"), max_length=80, required=False, help_text=_("Like “green bag at the gate”")
    )
    meeting_place = forms.CharField(
        label=_("Meeting place"),
        max_length=80,
        required=False,
        help_text=_("Where everybody goes when somebody calls STOP."),
    )
    address = forms.CharField(label=_("Address for an ambulance"), max_length=160, required=False)
    gate = forms.CharField(label=_("Gate it comes in by, and who has the key"), max_length=120, required=False)
    entrance = forms.CharField(label=_("Nearest emergency entrance of a hospital"), max_length=160, required=False)
    phone = forms.CharField(label=_("Phone at the venue"), max_length=40, required=False)

    def clean_water(self) -> Spot | None:
        return spot_from(self.cleaned_data["water"])

    def clean_first_aid(self) -> Spot | None:
        return spot_from(self.cleaned_data["first_aid"])

    def clean_closed(self) -> list[dict[str, object]]:
        lines = [line for line in self.cleaned_data["closed"].splitlines() if line.strip()]
        if len(lines) > MOST_CLOSED:
            raise ValidationError(_("At most %(n)d lines."), params={"n": MOST_CLOSED})
        return [closed_from(line) for line in lines]

    def clean_corners(self) -> list[Spot]:
        parts = [part for part in self.cleaned_data["corners"].split(";") if part.strip()]
        spots = [spot for part in parts if (spot := spot_from(part))]
        if parts and not 3 <= len(parts) <= MOST_CORNERS:
            raise ValidationError(_("Three to %(n)d corners."), params={"n": MOST_CORNERS})
        if parts and not encloses(spots):
            raise ValidationError(_("These corners, one after the other, enclose no ground, or their sides cross."))
        return spots

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if not data.get("corners") and "corners" not in self.errors:
            for name in ("wide", "long"):
                if data.get(name) is None and name not in self.errors:
                    self.add_error(name, _("Write how long it is, or write its corners."))
        return data

    def details(self) -> VenueDetails:
        """Only after `is_valid`."""
        data = dict(self.cleaned_data)
        corners, wide, long = (data.pop(name) for name in ("corners", "wide", "long"))
        return VenueDetails(outline=corners or [[0, 0], [wide, 0], [wide, long], [0, long]], **data)


class KitForm(forms.Form):
    kit = forms.CharField(
        label=_("What the club owns"),
        max_length=600,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text=_("Name and number, like cones:40;balls:12;bibs:24. Names as on the stations."),
    )

    def clean_kit(self) -> dict[str, int]:
        return kit_from(self.cleaned_data["kit"])


def spot_from(text: str) -> Spot | None:
    """Metres east and north; None for nothing.

    Raises:
        ValidationError: with what could not be read.
    """
    if not text.strip():
        return None
    found = SPOT.fullmatch(text)
    if not found or max(map(float, found.groups())) > LARGEST_M:
        sentence = _("“%(part)s” could not be read: write two numbers up to %(most)d with a comma, like 12.5, 8.")
        raise ValidationError(sentence, params={"part": text.strip(), "most": int(LARGEST_M)})
    return [float(part) for part in found.groups()]


def closed_from(line: str) -> dict[str, object]:
    found = CLOSED.fullmatch(line)
    numbers = [float(part) for part in found.groups()[1:]] if found else []
    if not found or max(numbers) > LARGEST_M or not min(numbers[2:]):
        sentence = _("“%(part)s” could not be read: write a name, a colon and four numbers, like goal: 0, 12.5, 2, 5.")
        raise ValidationError(sentence, params={"part": line.strip()})
    return {"name": found[1], "at": numbers[:2], "size": numbers[2:]}


def encloses(spots: list[Spot]) -> bool:
    try:
        return simple(tuple((round(10 * x), round(10 * y)) for x, y in spots))
    except ValueError:
        return False


def spot_text(spot: Spot | None) -> str:
    return ", ".join(f"{part:g}" for part in spot) if spot else ""


def venue_values(venue: Venue) -> dict[str, Any]:
    """The form's initial values."""
    names = ("name", "indoors", "first_aid_at", "meeting_place", "address", "gate", "entrance", "phone")
    box = venue.box
    shape = {"wide": box[0], "long": box[1]} if box else {"corners": "; ".join(map(spot_text, venue.outline))}
    closed = "\n".join(f"{row['name']}: {spot_text(row['at'])}, {spot_text(row['size'])}" for row in venue.closed)
    spots = {"water": spot_text(venue.water), "first_aid": spot_text(venue.first_aid), "closed": closed}
    return {name: getattr(venue, name) for name in names} | shape | spots
