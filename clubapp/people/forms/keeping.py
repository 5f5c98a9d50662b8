"""How long the club keeps what."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _

from clubapp.core.registry import Keeping, registry
from clubapp.people import keeping
from clubapp.people.models import Club

YEAR = 12


def _unit(one: Keeping) -> int:
    """Asked in years where the usual period is whole years, else in months."""
    return 1 if one.months % YEAR or one.least % YEAR else YEAR


def _help(one: Keeping) -> str:
    unit = _unit(one)
    said = (_("In years; usual: %(n)d.") if unit == YEAR else _("In months; usual: %(n)d.")) % {"n": one.months // unit}
    return f"{said} {one.why}".strip()


class PeriodsForm(forms.Form):
    """A number for each thing that is kept for a time; what changes nothing may stay as it is."""

    def __init__(self, club: Club, data: Any = None) -> None:
        super().__init__(data)
        for one in reversed(registry.keepings.values()):
            unit = _unit(one)
            self.fields[one.name] = forms.IntegerField(
                label=str(one.title),
                initial=keeping.months(club, one.name) // unit,
                min_value=one.least // unit,
                max_value=one.most // unit,
                help_text=_help(one),
            )

    def months(self) -> dict[str, int]:
        return {name: count * _unit(registry.keepings[name]) for name, count in self.cleaned_data.items()}
