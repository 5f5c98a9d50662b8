"""How long the club keeps what."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clubapp.core.registry import Keeping, registry
from clubapp.people import keeping
from clubapp.people.models import Club

YEAR = 12


def _unit(one: Keeping) -> int:
    """Asked in years where the usual period is whole years, else in months."""
    return 1 if one.months % YEAR or one.least % YEAR else YEAR


def _time(count: int, unit: int) -> str:
    years = ngettext("%(n)d year", "%(n)d years", count)
    months = ngettext("%(n)d month", "%(n)d months", count)
    return (years if unit == YEAR else months) % {"n": count}


class PeriodsForm(forms.Form):
    """A number for each thing that is kept for a time; what changes nothing may stay as it is."""

    def __init__(self, club: Club, data: Any = None) -> None:
        super().__init__(data)
        for one in reversed(registry.keepings.values()):
            unit = _unit(one)
            self.fields[one.name] = forms.IntegerField(
                label=f"{one.title}, {_('years') if unit == YEAR else _('months')}",
                initial=keeping.months(club, one.name) // unit,
                min_value=one.least // unit,
                max_value=one.most // unit,
                help_text=_("Usual: %(usual)s. %(why)s") % {"usual": _time(one.months // unit, unit), "why": one.why},
            )

    def months(self) -> dict[str, int]:
        return {name: count * _unit(registry.keepings[name]) for name, count in self.cleaned_data.items()}
