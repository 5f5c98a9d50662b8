"""Parse and check what is typed about a term: series, holidays, templates."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.translation import gettext_lazy as _

from clubapp.planning.actions.series import MOST_WEEKS
from clubapp.planning.actions.sessions import WEEK
from clubapp.planning.forms import DAYS_AHEAD, FIRST_DAY, DateInput
from clubapp.planning.models import Session


def day_in(text: str) -> date | None:
    """The day of an address; nothing where it is none that a session could be on."""
    try:
        day = date.fromisoformat(text)
    except ValueError:
        return None
    return day if FIRST_DAY <= day <= timezone.now().date() + DAYS_AHEAD else None


class SeriesForm(forms.Form):
    until = forms.DateField(label=_("Until"), widget=DateInput)

    def __init__(self, *args: Any, session: Session, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.session = session

    def clean_until(self) -> date:
        day: date = self.cleaned_data["until"]
        if not self.session.date + WEEK <= day <= self.session.date + MOST_WEEKS * WEEK:
            raise ValidationError(_("Choose a day from a week to a year after this session."))
        return day


class HolidayForm(forms.Form):
    name = forms.CharField(label=_("Holiday"), max_length=60)
    first = forms.DateField(label=_("First day"), widget=DateInput)
    last = forms.DateField(label=_("Last day"), widget=DateInput)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        first, last = data.get("first"), data.get("last")
        if first and not FIRST_DAY <= first <= timezone.now().date() + DAYS_AHEAD:
            self.add_error("first", _("This day is too far away."))
        elif first and last and not first <= last <= first + WEEK * MOST_WEEKS:
            self.add_error("last", _("The last day must be the first one or later, within a year."))
        return data


class TemplateForm(forms.Form):
    name = forms.CharField(label=_("Keep this session’s parts and stations as"), max_length=60)
