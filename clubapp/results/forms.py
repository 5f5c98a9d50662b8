"""What the head coach writes down about a test."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from clubapp.people.forms.fields import WordsField
from clubapp.people.models import Club
from clubapp.results import catalogue, measures
from clubapp.results.actions import Wish
from clubapp.results.catalogue import Listed
from clubapp.results.models import Trial

FIXED = ("unit", "better", "distance", "distance_unit")
PLAIN = ("name", "unit", "better", "hand_rounding", "distance", "distance_unit", "attempts", "how")


class TrialForm(forms.Form):
    """A test of the club's, or what a club may change about a standard one."""

    name = WordsField(label=_("Name"), max_length=60)
    unit = forms.ChoiceField(label=_("Measured in"), choices=Trial.Unit.choices, widget=forms.RadioSelect)
    better = forms.ChoiceField(label=_("Better is"), choices=Trial.Better.choices, widget=forms.RadioSelect)
    hand_rounding = forms.BooleanField(
        label=_("Times taken by hand count in tenths"),
        help_text=_("Up to the next tenth, as in athletics. What the watch said stays on record."),
        required=False,
    )
    distance = forms.DecimalField(
        label=_("Distance"), min_value=0.1, max_value=9_999, max_digits=7, decimal_places=3, required=False
    )
    distance_unit = forms.ChoiceField(label=_("Distance in"), choices=Trial.Length.choices)
    attempts = forms.IntegerField(label=_("Attempts, of which the best counts"), min_value=1, max_value=9)
    least = forms.CharField(label=_("Ask below"), max_length=12, required=False)
    most = forms.CharField(
        label=_("Ask above"),
        help_text=_("A value outside is questioned once and then kept as it was said."),
        max_length=12,
        required=False,
    )
    how = forms.CharField(
        label=_("How it is set up and run"),
        help_text=_("A line a step."),
        max_length=2_000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
    )

    def __init__(self, club: Club, data: Any = None, *, test: Listed | None = None) -> None:
        self.club, self.test = club, test
        super().__init__(data, initial=_start(test))
        if test is not None and test.is_fixed:
            for name in FIXED:
                self.fields[name].disabled = True

    def clean_name(self) -> str:
        name: str = self.cleaned_data["name"]
        own = self.test.code if self.test else ""
        same = (test for test in catalogue.of_club(self.club) if test.code != own and not test.archived)
        if any(test.name.casefold() == name.casefold() for test in same):
            raise ValidationError(_("The club has a test of this name already."))
        return name

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        for name in ("least", "most"):
            if "unit" in data and name in data:
                self._measure(name, data)
        least, most = data.get("least"), data.get("most")
        if least and most and least >= most:
            self.add_error("most", _("This is not more than the other."))
        return data

    def _measure(self, name: str, data: dict[str, Any]) -> None:
        try:
            data[name] = measures.parse(data[name], data["unit"])
        except measures.MeasureError as error:
            self.add_error(name, str(error))

    def wish(self) -> Wish:
        """Only after `is_valid`."""
        return Wish(**{name: self.cleaned_data[name] for name in (*PLAIN, "least", "most")})


def _start(test: Listed | None) -> dict[str, Any]:
    if test is None:
        return {"unit": "s", "better": "less", "hand_rounding": True, "distance_unit": "m", "attempts": 2}
    row = test.row
    ranges = {
        name: value and measures.plain(value, row.unit) for name in ("least", "most") for value in [getattr(row, name)]
    }
    return {name: getattr(row, name) for name in PLAIN} | ranges
