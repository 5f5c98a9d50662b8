"""allauth's forms where a crafted answer would otherwise be no form's error."""

from __future__ import annotations

from typing import Any

from allauth.account import forms as account_forms
from allauth.account.fields import SetPasswordField
from allauth.mfa.base import forms as step_forms
from allauth.mfa.totp import forms as app_forms
from allauth.mfa.webauthn import forms as allauth_forms
from django import forms
from django.utils.translation import gettext_lazy as _

from clubapp.people.adapters import AGAIN
from clubapp.people.forms.doors import EMAIL, password_field

UNREADABLE = (AttributeError, IndexError, KeyError, LookupError, TypeError, ValueError)


def new_password() -> forms.CharField:
    """Written once, like the first one: whoever slips gets a new one by a code."""
    help_text = _("Ten letters or more. Four words are easy to keep in mind.")
    field: forms.CharField = SetPasswordField(label=_("A new password"), help_text=help_text, max_length=200)
    return field


class Ours:
    """Said once: what stands above a field is not repeated in it, and an e-mail is called as at the door."""

    fields: dict[str, forms.Field]

    def __init__(self, *args: Any, **named: Any) -> None:
        super().__init__(*args, **named)
        for name, field in self.fields.items():
            field.widget.attrs.pop("placeholder", None)
            if name == "email":
                field.label, field.widget = _("E-mail"), forms.EmailInput(attrs=EMAIL)


class CodeForm(Ours, account_forms.RequestLoginCodeForm):  # type: ignore[misc]
    pass


class TypedCodeForm(Ours, account_forms.ConfirmLoginCodeForm):  # type: ignore[misc]
    pass


class ForgottenForm(Ours, account_forms.ResetPasswordForm):  # type: ignore[misc]
    pass


class ForgottenCodeForm(Ours, account_forms.ConfirmPasswordResetCodeForm):  # type: ignore[misc]
    pass


class NewPasswordForm(Ours, account_forms.ResetPasswordKeyForm):  # type: ignore[misc]
    password1 = new_password()
    password2 = None


class ChangePasswordForm(Ours, account_forms.ChangePasswordForm):  # type: ignore[misc]
    oldpassword = password_field(_("Your password so far"), new=False)
    password1 = new_password()
    password2 = None


class SetPasswordForm(Ours, account_forms.SetPasswordForm):  # type: ignore[misc]
    password1 = new_password()
    password2 = None


class AgainForm(Ours, account_forms.ReauthenticateForm):  # type: ignore[misc]
    password = password_field(_("Password"), new=False)


class StepForm(Ours, step_forms.AuthenticateForm):  # type: ignore[misc]
    pass


class StepAgainForm(Ours, step_forms.ReauthenticateForm):  # type: ignore[misc]
    pass


class AppForm(Ours, app_forms.ActivateTOTPForm):  # type: ignore[misc]
    pass


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
