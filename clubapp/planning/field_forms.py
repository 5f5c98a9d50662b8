"""Parse and check what is tapped on a field plan."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clubapp.planning.actions import Stand
from clubapp.planning.models import Station
from clubapp.planning.venue_forms import LARGEST_M

NUDGES = {"north": (0.0, 1.0), "east": (1.0, 0.0), "south": (0.0, -1.0), "west": (-1.0, 0.0)}
METRES: dict[str, Any] = {
    "min_value": 0,
    "max_value": LARGEST_M,
    "required": False,
    "widget": forms.NumberInput(attrs={"step": "0.5"}),
}


class PlaceForm(forms.Form):
    """One station and one button: put it at metres typed or tapped, nudge it by a metre, or turn it by a quarter."""

    station = forms.ChoiceField(label=_("Station"), widget=forms.RadioSelect)
    x = forms.FloatField(label=_("Metres east, of its middle"), **METRES)
    y = forms.FloatField(label=_("Metres north, of its middle"), **METRES)
    do = forms.ChoiceField(choices=[(name, name) for name in ("put", "turn", *NUDGES)], required=False)

    def __init__(self, *args: Any, stations: tuple[Station, ...], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.by_id = {str(one.pk): one for one in stations}
        choices = self.fields["station"]
        assert isinstance(choices, forms.ChoiceField)
        choices.choices = [(pk, f"{one.number} {one.name}") for pk, one in self.by_id.items()]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        row = self.by_id.get(data.get("station", ""))
        if row is None:
            return data
        put = data.get("do") in ("put", "")
        for name, known in (("x", row.x_m), ("y", row.y_m)):
            if name not in self.errors and (data.get(name) if put else known) is None:
                self.add_error(name, _("Write where its middle is to be."))
        return data

    def stand(self) -> Stand:
        """Only after `is_valid`."""
        row, do = self.by_id[self.cleaned_data["station"]], self.cleaned_data["do"]
        if do == "turn":
            return Stand(row.x_m or 0.0, row.y_m or 0.0, (row.turned + 1) % 4)
        if do in NUDGES:
            east, north = NUDGES[do]
            return Stand(max(0.0, (row.x_m or 0.0) + east), max(0.0, (row.y_m or 0.0) + north), row.turned)
        return Stand(self.cleaned_data["x"], self.cleaned_data["y"], row.turned)
