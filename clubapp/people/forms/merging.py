"""Which two records are one child, and which of them stays."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clubapp.people import queries
from clubapp.people.forms.lists import label_of
from clubapp.people.models import Athlete


class ChildField(forms.ModelChoiceField):  # type: ignore[type-arg]
    """One child by name and year."""

    def label_from_instance(self, obj: Athlete) -> str:
        return label_of(obj)


class OtherForm(forms.Form):
    """The other record, whoever has left included."""

    other = ChildField(label=_("The other record"), queryset=Athlete.objects.none())

    def __init__(self, child: Athlete, *args: Any, **named: Any) -> None:
        super().__init__(*args, **named)
        field = self.fields["other"]
        assert isinstance(field, ChildField)
        field.queryset = queries.club_children(child.club).exclude(pk=child.pk)
        self.child = child


class MergeForm(OtherForm):
    """stays: "this" or "other"; nothing is chosen before the coach has."""

    stays_is = forms.ChoiceField(
        label=_("Which record stays"), choices=[("this", ""), ("other", "")], widget=forms.RadioSelect
    )

    @property
    def chosen(self) -> Athlete | None:
        return getattr(self, "cleaned_data", {}).get("other")

    @property
    def stays(self) -> Athlete:
        other: Athlete = self.cleaned_data["other"]
        return self.child if self.cleaned_data["stays_is"] == "this" else other

    @property
    def double(self) -> Athlete:
        other: Athlete = self.cleaned_data["other"]
        return other if self.cleaned_data["stays_is"] == "this" else self.child
