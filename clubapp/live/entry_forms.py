"""What is typed into the list of one test: a value a child, and once for all how it was taken."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clubapp.live.actions import Timed
from clubapp.live.entry import Line, Sheet
from clubapp.people.models import Athlete, User
from clubapp.register.forms import TapForm
from clubapp.results import measures
from clubapp.results.actions import Conditions
from clubapp.results.models import Result

TAKEN = (("hand", _("by hand")), ("electronic", _("electronic")))


class TakenForm(forms.Form):
    """How the values were taken; all but the first may stay open."""

    timing = forms.ChoiceField(label=_("Taken"), choices=TAKEN, required=False, initial="hand")
    surface = forms.ChoiceField(label=_("Ground"), choices=Result.Surface.choices, required=False)
    wind = forms.ChoiceField(label=_("Wind"), choices=Result.Wind.choices, required=False)
    shoes = forms.ChoiceField(label=_("Shoes"), choices=Result.Shoes.choices, required=False)
    timed_by = forms.ModelChoiceField(
        label=_("Who timed"), queryset=User.objects.none(), required=False, empty_label=_("whoever writes it down")
    )

    def __init__(self, sheet: Sheet, data: Any = None, **named: Any) -> None:
        super().__init__(data, **named)
        field = self.fields["timed_by"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = User.objects.filter(memberships__club=sheet.session.club_id).distinct().order_by("name")

    def conditions(self) -> Conditions:
        """Only after `is_valid`."""
        return Conditions(**{name: self.cleaned_data[name] for name in ("surface", "wind", "shoes", "timed_by")})


def last_taken(sheet: Sheet) -> dict[str, Any]:
    """As the newest value of the list was taken."""
    rows = [row for line in sheet.lines for run in line.runs for row in run.rows]
    newest = max(rows, key=lambda row: row.received_at, default=None)
    return taken_as(newest) if newest else {}


def taken_as(row: Result) -> dict[str, Any]:
    names = ("timing", "surface", "wind", "shoes")
    return {name: getattr(row, name) for name in names} | {"timed_by": row.timed_by_id}


class ValueForm(TapForm):
    """One child's value. sure: somebody was asked about this very value and keeps it."""

    athlete = forms.UUIDField()
    value = forms.CharField(max_length=12)
    attempt = forms.IntegerField(min_value=1, max_value=99, required=False)
    state = forms.ChoiceField(choices=Result.State.choices, required=False)
    replaces = forms.UUIDField(required=False)
    sure = forms.BooleanField(required=False)

    def __init__(self, sheet: Sheet, data: Any) -> None:
        self.sheet, self.taken = sheet, TakenForm(sheet, data)
        super().__init__(data)

    def clean_value(self) -> int:
        try:
            value = measures.parse(self.cleaned_data["value"], self.sheet.test.row.unit)
        except measures.MeasureError as error:
            raise forms.ValidationError(str(error)) from error
        if value is None:
            raise forms.ValidationError(_("Write a value."))
        return value

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if not self.taken.is_valid():
            raise forms.ValidationError([error for row in self.taken.errors.values() for error in row])
        return data

    def question(self) -> str:
        """Empty where the value is as could be expected, or was asked about before."""
        data = self.cleaned_data
        return "" if data["sure"] or data["state"] else self.sheet.question(data["athlete"], data["value"])

    def timed(self, athlete: Athlete) -> Timed:
        """Only after `is_valid`."""
        data = self.cleaned_data
        return Timed(
            athlete,
            self.sheet.test.starter,
            data["value"],
            attempt=data["attempt"] or 1,
            state=data["state"],
            replaces=data["replaces"],
            typed=True,
            asked=data["sure"],
            timing=self.taken.cleaned_data["timing"] or "hand",
            conditions=self.taken.conditions(),
        )


def row_form(sheet: Sheet, line: Line, posted: Mapping[str, str]) -> ValueForm | None:
    """What a page without a script sends of one child; None where nothing was typed."""
    typed = posted.get(f"value_{line.id}", "").strip()
    if not typed:
        return None
    own = {name: posted.get(name, "") for name in TakenForm.base_fields}
    sure = "yes" if posted.get(f"sure_{line.id}") == typed else ""
    row = {"athlete": str(line.id), "value": typed, "attempt": posted.get(f"attempt_{line.id}", ""), "sure": sure}
    return ValueForm(sheet, own | row | {"op_id": posted.get(f"op_{line.id}", "")})


def fix_form(sheet: Sheet, row: Result, posted: dict[str, str]) -> ValueForm:
    """A correction of one value of the list."""
    typed = posted.get("value", "").strip()
    fixed = {"athlete": str(row.athlete_id), "attempt": str(row.attempt), "replaces": str(row.op_id)}
    sure = "yes" if typed and posted.get("sure") == typed else ""
    return ValueForm(sheet, posted | fixed | {"sure": sure})
