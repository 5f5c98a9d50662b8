"""allauth's forms where a crafted answer would otherwise be no form's error."""

from __future__ import annotations

from typing import Any

from allauth.mfa.webauthn import forms as allauth_forms
from django import forms
from django.utils.translation import gettext_lazy as _

from clubapp.people.adapters import AGAIN

UNREADABLE = (AttributeError, IndexError, KeyError, LookupError, TypeError, ValueError)


class AddKeyForm(allauth_forms.AddWebAuthnForm):  # type: ignore[misc]
    """Every key added here also signs in alone: it asked for finger, face or code."""

    name = forms.CharField(label=_("A name for it"), max_length=60, required=False)
    passwordless = forms.BooleanField(required=False, initial=True, widget=forms.HiddenInput)

    def clean(self) -> dict[str, Any]:
        data: dict[str, Any] = _read(super().clean)
        return data


class AnswerForm(allauth_forms.AuthenticateWebAuthnForm):  # type: ignore[misc]
    def clean_credential(self) -> Any:
        return _read(super().clean_credential)


class SignInKeyForm(allauth_forms.LoginWebAuthnForm):  # type: ignore[misc]
    def clean_credential(self) -> Any:
        return _read(super().clean_credential)


class AgainKeyForm(allauth_forms.ReauthenticateWebAuthnForm):  # type: ignore[misc]
    def clean_credential(self) -> Any:
        return _read(super().clean_credential)


def _read(step: Any) -> Any:
    try:
        return step()
    except forms.ValidationError:
        raise
    except UNREADABLE as error:
        raise forms.ValidationError(AGAIN) from error
