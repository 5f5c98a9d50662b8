"""The adults of the club: asked in, their roles, what was seen of them."""

from __future__ import annotations

from datetime import date
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from clubapp.people.actions import AdultRecord, Asked
from clubapp.people.forms.fields import DayInput
from clubapp.people.models import Club, Role, Squad

LONGEST_YEARS = 10  # no vetting or certificate holds longer


class SquadsForm(forms.Form):
    """The squads an adult works with."""

    squads = forms.ModelMultipleChoiceField(
        label=_("Squads"), queryset=Squad.objects.none(), required=False, widget=forms.CheckboxSelectMultiple
    )

    def __init__(self, club: Club, *args: Any, **named: Any) -> None:
        super().__init__(*args, **named)
        field = self.fields["squads"]
        assert isinstance(field, forms.ModelMultipleChoiceField)
        field.queryset = Squad.objects.filter(club=club).order_by("name")
        if "squads" not in self.initial and len(field.queryset) == 1:
            field.initial = field.queryset


class InviteForm(SquadsForm):
    """What the link makes of the adult who opens it."""

    field_order = ("role", "squads", "email")
    role = forms.ChoiceField(
        label=_("As"),
        choices=[(Role.ASSISTANT, _("assistant")), (Role.WELFARE, _("welfare officer"))],
        initial=Role.ASSISTANT,
        widget=forms.RadioSelect,
    )
    email = forms.EmailField(
        label=_("E-mail"), required=False, help_text=_("Empty: the link is shown to you, to send or to be scanned.")
    )

    def clean(self) -> dict[str, Any]:
        data = self.cleaned_data
        if data.get("role") == Role.ASSISTANT and "squads" in data and not data["squads"]:
            self.add_error(
                "squads", _("Tick the squads the assistant works with: without one there is nothing to see.")
            )
        return data

    def asked(self) -> Asked:
        return Asked(Role(self.cleaned_data["role"]), tuple(self.cleaned_data["squads"]))


class RoleForm(SquadsForm):
    """What an adult may do from now on."""

    field_order = ("role", "squads")
    role = forms.ChoiceField(
        label=_("Role"),
        choices=Role.choices,
        widget=forms.RadioSelect,
        help_text=_("A head coach sees and changes everything of the club, these roles too."),
    )


class RecordForm(forms.Form):
    """What was seen of an adult, never what somebody is sure of."""

    eighteen = forms.BooleanField(
        label=_("18 or over"), required=False, help_text=_("Only adults of 18 or over count in the ratio.")
    )
    vetted_until = forms.DateField(
        label=_("Vetting valid to"), required=False, widget=DayInput(), help_text=_("Empty until you have seen it.")
    )
    first_aid_until = forms.DateField(
        label=_("First aid valid to"), required=False, widget=DayInput(), help_text=_("The date on the certificate.")
    )

    def __init__(self, today: date, *args: Any, **named: Any) -> None:
        self.today = today
        super().__init__(*args, **named)

    def clean_vetted_until(self) -> date | None:
        return self._believable(self.cleaned_data["vetted_until"])

    def clean_first_aid_until(self) -> date | None:
        return self._believable(self.cleaned_data["first_aid_until"])

    def _believable(self, day: date | None) -> date | None:
        """A slip in the year would clear an adult for ever."""
        if day is not None and abs(day.year - self.today.year) > LONGEST_YEARS:
            raise ValidationError(_("Look at the year again: this is more than ten years away."))
        return day

    def seen(self) -> AdultRecord:
        return AdultRecord(**{name: self.cleaned_data[name] for name in self.base_fields})
