"""Signing in, setting up, accepting an invitation."""

from __future__ import annotations

from typing import Any
from zoneinfo import available_timezones

from django import forms
from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from clubapp.people.actions import NewAdult, NewClub
from clubapp.people.forms.fields import WordsField
from clubapp.people.models import User

EMAIL = {"autocomplete": "username", "inputmode": "email", "autocapitalize": "none", "spellcheck": "false"}
OLD_PASSWORD = {"autocomplete": "current-password"}
NEW_PASSWORD = {"autocomplete": "new-password"}


def password_field(label: Any, help_text: Any = "", *, new: bool) -> forms.CharField:
    widget = forms.PasswordInput(attrs=NEW_PASSWORD if new else OLD_PASSWORD)
    return forms.CharField(label=label, help_text=help_text, max_length=200, strip=False, widget=widget)


class SignInForm(forms.Form):
    email = forms.EmailField(label=_("E-mail"), widget=forms.EmailInput(attrs=EMAIL))
    password = password_field(_("Password"), new=False)


class AdultForm(forms.Form):
    """A new account."""

    adult_name = WordsField(label=_("Your name"), max_length=80, widget=forms.TextInput(attrs={"autocomplete": "name"}))
    email = forms.EmailField(label=_("Your e-mail"), max_length=254, widget=forms.EmailInput(attrs=EMAIL))
    password = password_field(_("A password"), _("Ten letters or more. Four words are easy to keep in mind."), new=True)

    def clean_email(self) -> str:
        return str(self.cleaned_data["email"]).strip().lower()

    def _check_password(self) -> None:
        data = self.cleaned_data
        if data.get("password"):
            try:
                validate_password(data["password"], User(email=data.get("email", ""), name=data.get("adult_name", "")))
            except ValidationError as error:
                self.add_error("password", error)

    def adult(self) -> NewAdult:
        data = self.cleaned_data
        return NewAdult(name=data["adult_name"], email=data["email"], password=data["password"])


class NewAdultForm(AdultForm):
    """An account with an e-mail that nobody has."""

    def clean_email(self) -> str:
        email = super().clean_email()
        if User.objects.filter(email=email).exists():
            raise ValidationError(_("Somebody has an account with this e-mail already."))
        return email

    def clean(self) -> dict[str, Any]:
        self._check_password()
        return self.cleaned_data


class InvitedForm(AdultForm):
    """A new account, or the password of the one the adult has already."""

    def clean(self) -> dict[str, Any]:
        if not self.known:
            self._check_password()
        return self.cleaned_data

    @property
    def known(self) -> bool:
        """Whether there is an account with this e-mail."""
        return User.objects.filter(email=self.cleaned_data.get("email", "")).exists()


class SetUpForm(NewAdultForm):
    """The club, its first squad and its head coach."""

    field_order = ("club", "time_zone", "squad", "adult_name", "email", "password")
    club = WordsField(label=_("Name of the club"), max_length=80)
    time_zone = forms.ChoiceField(
        label=_("Time zone"), initial="Europe/London", help_text=_("“Today” is the club's own day.")
    )
    squad = WordsField(label=_("First squad"), max_length=60, help_text=_("The children who train together."))

    def __init__(self, *args: Any, **named: Any) -> None:
        super().__init__(*args, **named)
        zones = sorted(name for name in available_timezones() if "/" in name and not name.startswith(("Etc", "posix")))
        self.fields["time_zone"].choices = [(name, name.replace("_", " ")) for name in ["UTC", *zones]]  # type: ignore[attr-defined]

    def clean_squad(self) -> str:
        return no_semicolon(self.cleaned_data["squad"])

    def new_club(self) -> NewClub:
        data = self.cleaned_data
        return NewClub(name=data["club"], time_zone=data["time_zone"], squad=data["squad"], coach=self.adult())


def no_semicolon(name: str) -> str:
    """In the roster file a semicolon stands between two squads."""
    if ";" in name:
        raise ValidationError(_("A squad's name holds no semicolon."))
    return name
