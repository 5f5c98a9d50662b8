"""What is asked of a term."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

MOST_DAYS = 366
WEEKS = 12


class TermForm(forms.Form):
    begins = forms.DateField(label=_l("From"), widget=forms.DateInput(attrs={"type": "date"}))
    ends = forms.DateField(label=_l("To"), widget=forms.DateInput(attrs={"type": "date"}))
    teams = forms.IntegerField(label=_l("Teams"), min_value=2, max_value=8)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        begins, ends = data.get("begins"), data.get("ends")
        if begins and ends and not begins < ends <= begins + timedelta(days=MOST_DAYS):
            self.add_error("ends", ValidationError(_("The last day comes after the first, within a year.")))
        return data


def usual(today: date, children: int) -> dict[str, Any]:
    """Twelve weeks from today, teams of about six."""
    return {"begins": today, "ends": today + timedelta(weeks=WEEKS), "teams": min(8, max(2, round(children / 6)))}
