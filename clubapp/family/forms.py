"""Parse and check what a guardian sends."""

from __future__ import annotations

from cryptography.hazmat.primitives.asymmetric import ec
from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from clubapp.family import push
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


class PhoneForm(forms.Form):
    """What a browser sends to be told by. Without a topic it is told nothing more."""

    changes = forms.BooleanField(label=_("A session is called off or changed"), required=False)
    messages = forms.BooleanField(label=_("The club writes to the families"), required=False)
    endpoint = forms.CharField(max_length=1000, required=False, widget=forms.HiddenInput)
    p256dh = forms.CharField(max_length=100, required=False, widget=forms.HiddenInput)
    auth = forms.CharField(max_length=40, required=False, widget=forms.HiddenInput)

    def clean(self) -> None:
        data = self.cleaned_data
        if not self.wants():
            return
        if not push.is_allowed(data.get("endpoint", "")):
            self.add_error("endpoint", _("The club does not know the service that brings notices to this browser."))
        elif not _are_keys(data.get("p256dh", ""), data.get("auth", "")):
            self.add_error("p256dh", _("What this browser sent is no key. Turn it off and on again."))

    def wants(self) -> bool:
        return bool(self.cleaned_data.get("changes") or self.cleaned_data.get("messages"))


def _are_keys(p256dh: str, auth: str) -> bool:
    """A point of the curve and sixteen bytes (RFC 8291)."""
    try:
        ec.EllipticCurvePublicKey.from_encoded_point(ec.SECP256R1(), push.unpadded(p256dh))
        return len(push.unpadded(auth)) == 16
    except ValueError:  # also of what is no base64
        return False


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
