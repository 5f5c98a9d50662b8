"""Parse and check what a guardian sends."""

from __future__ import annotations

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from clubapp.people.forms.fields import WordsField, check_phone
from clubapp.people.models import Consent


class HealthChangeForm(forms.Form):
    """What an adult on the field is to do, in the guardian's words."""

    what_to_do = forms.CharField(
        label=_("What to do"),
        help_text=_("First, in short sentences: what an adult on the field does."),
        max_length=600,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    note = forms.CharField(
        label=_("What it is"), max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    to_bring = forms.BooleanField(
        label=_("My child brings an inhaler, a pen or the like each time"),
        required=False,
        help_text=_("An adult then asks at the register whether it is there today."),
    )


class NoticeForm(forms.Form):
    """ "Cannot come" with a word if the guardian likes, or taken back."""

    op_id = forms.UUIDField(required=False)
    device = forms.CharField(required=False, max_length=64)
    word = forms.CharField(label=_("A word, if you like"), max_length=200, required=False)
    comes = forms.BooleanField(required=False)


class LateForm(forms.Form):
    """When a child comes that will be late, in minutes after the start, or that it is in time after all."""

    op_id = forms.UUIDField(required=False)
    device = forms.CharField(required=False, max_length=64)
    minutes = forms.TypedChoiceField(label=_("Comes about"), coerce=int, empty_value=None, required=False)
    word = forms.CharField(label=_("A word, if you like"), max_length=200, required=False)
    in_time = forms.BooleanField(required=False)

    def __init__(self, times: list[tuple[int, str]], data: QueryDict) -> None:
        super().__init__(data)
        field = self.fields["minutes"]
        assert isinstance(field, forms.TypedChoiceField)
        field.choices = times

    def clean(self) -> None:
        if not self.cleaned_data.get("in_time") and not self.cleaned_data.get("minutes"):
            self.add_error("minutes", _("Choose about when."))


class PickUpForm(forms.Form):
    """Who is to take the child home today."""

    name = WordsField(label=_("Who"), max_length=80, help_text=_("First and last name."))
    relation = WordsField(label=_("What this adult is to your child"), max_length=40, help_text=_("Aunt, neighbour …"))
    phone = WordsField(
        label=_("Phone, if you know it"),
        max_length=30,
        required=False,
        widget=forms.TextInput(attrs={"type": "tel"}),
    )

    def clean_phone(self) -> str:
        return check_phone(self.cleaned_data["phone"])


class ConsentForm(forms.Form):
    """What this guardian says to one of the sentences."""

    kind = forms.ChoiceField(choices=Consent.Kind.choices)
    given = forms.TypedChoiceField(choices=[("yes", ""), ("no", "")], coerce=lambda text: text == "yes")


class ContactForm(forms.Form):
    """Where the club reaches this guardian."""

    name = WordsField(label=_("Name"), max_length=80)
    phone = WordsField(label=_("Phone"), max_length=30, widget=forms.TextInput(attrs={"type": "tel"}))
    email = forms.EmailField(
        label=_("E-mail"), required=False, help_text=_("Where the club writes to. You go on signing in as before.")
    )

    def clean_phone(self) -> str:
        return check_phone(self.cleaned_data["phone"])
