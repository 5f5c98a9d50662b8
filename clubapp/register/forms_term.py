"""Which days and which squad an attendance is asked for."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clubapp.people.models import Club, Squad
from clubapp.register.attendance import Term

USUAL = timedelta(weeks=12)  # a school term, roughly; common practice, no published source


class TermForm(forms.Form):
    """From and to are days of the club; left out, they are the last twelve weeks."""

    since = forms.DateField(label=_("From"), required=False, widget=forms.DateInput(attrs={"type": "date"}))
    until = forms.DateField(label=_("To"), required=False, widget=forms.DateInput(attrs={"type": "date"}))
    squad = forms.ModelChoiceField(
        label=_("Squad"), queryset=Squad.objects.none(), required=False, empty_label=_("all squads")
    )

    def __init__(self, data: Any, *, club: Club) -> None:
        today = club.today()
        usual = {"since": (today - USUAL).isoformat(), "until": today.isoformat()}
        given = {name: value for name, value in data.items() if value}
        super().__init__(usual | given)
        self.club = club
        field = self.fields["squad"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = club.squads.order_by("name")

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if data.get("since") and data.get("until") and data["since"] > data["until"]:
            self.add_error("until", _("The last day is before the first."))
        return data

    def term(self) -> Term | None:
        """What was asked for, or None where it makes no sense."""
        if not self.is_valid():
            return None
        data = self.cleaned_data
        return Term(self.club, data["since"], data["until"], data["squad"])
