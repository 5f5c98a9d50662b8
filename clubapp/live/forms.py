"""What is typed at the gate, and commands from a page without a socket."""

from __future__ import annotations

import uuid
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clubapp.engine.clock import Kind
from clubapp.live.messages import MOST_SECONDS, REASONS, Tap
from clubapp.people.forms.fields import WordsField
from clubapp.people.models import User
from clubapp.planning.models import Session
from clubapp.planning.queries import leaders

CODE_ATTRS = {"autocomplete": "off", "autocapitalize": "characters", "spellcheck": "false", "autofocus": True}


class CodeForm(forms.Form):
    code = forms.CharField(
        label=_("The code you were told"),
        help_text=_("Six letters. Blanks and small letters do not matter."),
        max_length=40,
        widget=forms.TextInput(attrs=CODE_ATTRS),
    )


class GateForm(forms.Form):
    name = WordsField(
        label=_("Your name"),
        help_text=_("As the leader knows you. The leader lets you in."),
        max_length=60,
        widget=forms.TextInput(attrs={"autocomplete": "name"}),
    )

    def clean_name(self) -> str:
        """A name nobody can see would stand on the leader's page as a blank button."""
        name = str(self.cleaned_data["name"])
        if not any(letter.isalnum() for letter in name):
            raise forms.ValidationError(_("Write a name with at least one letter."))
        return name


class CommandForm(forms.Form):
    """One of many buttons: either a kind, or seconds to add."""

    op_id = forms.UUIDField()
    kind = forms.ChoiceField(choices=[(kind.value, kind.value) for kind in Kind], required=False)
    add = forms.IntegerField(min_value=-MOST_SECONDS, max_value=MOST_SECONDS, required=False)
    seen = forms.IntegerField(min_value=0, max_value=2**31 - 1, required=False)
    index = forms.IntegerField(min_value=0, max_value=10_000, required=False)
    round = forms.IntegerField(min_value=0, max_value=10_000, required=False)
    at_ms = forms.FloatField(required=False)
    reason = forms.ChoiceField(choices=[(reason.value, reason.value) for reason in REASONS if reason], required=False)

    def clean(self) -> dict[str, Any]:
        data = self.cleaned_data
        if not data.get("kind") and data.get("add") is None and not self.errors:
            raise forms.ValidationError(_("Say which command is meant."))
        return data

    def tap(self) -> Tap:
        data = self.cleaned_data
        kind = data["kind"] or Kind.ADD.value
        op_id: uuid.UUID = data["op_id"]
        return Tap(
            op_id=op_id,
            kind=kind,
            seen=data["seen"] or 0,
            seconds=data["add"] or 0,
            index=data["index"],
            round=data["round"],
            at_ms=data["at_ms"],
            reason=data["reason"],
        )


class PersonForm(forms.Form):
    """Which helper at the gate is meant."""

    visitor = forms.UUIDField()


class HandOverForm(forms.Form):
    """Who leads from now on; nobody chosen: the head coach."""

    leader = forms.ModelChoiceField(
        label=_("Who leads from now on"),
        queryset=User.objects.none(),
        required=False,
        empty_label=_("the head coach"),
    )

    def __init__(self, *args: Any, session: Session, **kwargs: Any) -> None:
        super().__init__(*args, **{"initial": {"leader": session.leader_id}, **kwargs})
        field = self.fields["leader"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = leaders(session)


class HoldForm(forms.Form):
    """Which station an adult looks after."""

    station = forms.UUIDField()
