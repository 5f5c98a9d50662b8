"""How allauth speaks and writes here: mails by our outbox, keys sealed, nobody signs up, no chatter."""

from __future__ import annotations

import time
from datetime import timedelta
from typing import Any

import segno
from allauth.account.adapter import DefaultAccountAdapter
from allauth.mfa.adapter import DefaultMFAAdapter
from django.conf import settings
from django.contrib import messages
from django.contrib.auth.base_user import AbstractBaseUser
from django.db import transaction
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clubapp.core import post
from clubapp.core.audit import record
from clubapp.core.fields import seal, unseal
from clubapp.people import letters, second_step, sign_ins
from clubapp.people.models import User
from clubapp.people.sign_ins import BROWSER, SINCE

AGAIN = gettext_lazy("This code does not fit. Look at it again.")
NOT_YOURS = gettext_lazy("This is not your password.")
WAIT = gettext_lazy("Too many tries. Wait a few minutes.")


class ClubAdapter(DefaultAccountAdapter):  # type: ignore[misc]
    """Accounts are made by an invitation alone."""

    error_messages = {
        **DefaultAccountAdapter.error_messages,
        "incorrect_code": AGAIN,
        "incorrect_password": NOT_YOURS,
        "enter_current_password": NOT_YOURS,
        "too_many_login_attempts": WAIT,
        "rate_limited": WAIT,
    }

    def is_open_for_signup(self, request: HttpRequest) -> bool:
        return False

    def login(self, request: HttpRequest, user: AbstractBaseUser) -> None:
        """Remember when and with what, for the page on which an adult ends sign-ins."""
        super().login(request, user)
        request.session[SINCE] = int(time.time())
        request.session[BROWSER] = request.headers.get("User-Agent", "")[:200]

    def post_login(self, request: HttpRequest, user: User, **named: Any) -> HttpResponse:
        """Who must sign in in two steps and has no second one yet sees nothing else before it is set up."""
        response: HttpResponse = super().post_login(request, user, **named)
        if second_step.is_missing(user):
            request.session[second_step.WANTED] = True
            return HttpResponseRedirect(reverse("mfa_index"))
        return response

    def add_message(self, request: HttpRequest, level: int, *args: Any, **named: Any) -> None:
        """Only what went wrong is worth a line; that somebody is signed in, the page shows."""
        if level >= messages.ERROR and named.get("message"):
            messages.add_message(request, level, named["message"])

    @transaction.atomic
    def set_password(self, user: User, password: str) -> None:
        """Whoever was signed in anywhere else is so no more, and the adult hears of it by mail."""
        super().set_password(user, password)
        sign_ins.end(user, but=self.request.session.session_key)
        record(club_id=None, user_id=user.pk, verb="changed", kind="password", about=user.pk)
        post.send(letters.password_changed(user))

    def get_password_change_redirect_url(self, request: HttpRequest) -> str:
        return reverse("account_sign_ins")

    def send_mail(self, template_prefix: str, email: str, context: dict[str, Any]) -> None:
        """The one mail there is: a code, for the door or a new password. Nobody reads it on the page of mails."""
        code, until = context["code"], timezone.now() + timedelta(seconds=settings.ACCOUNT_LOGIN_BY_CODE_TIMEOUT)
        text = _(
            "Your code for Fieldbell is %(code)s\n\nType it on the page that asked for it, within ten minutes. Nobody "
            "of the club will ever ask you for it. You did not ask for a code? Then do nothing.\n"
        ) % {"code": code}
        post.send(post.Letter(to=email, subject=_("Your code"), text=text, kind="code", until=until))

    def send_notification_mail(self, *args: Any, **named: Any) -> None:
        """The page of sign-ins shows what changed."""


class StepAdapter(DefaultMFAAdapter):  # type: ignore[misc]
    """The second step."""

    error_messages = {
        **DefaultMFAAdapter.error_messages,
        "incorrect_code": AGAIN,
        "cannot_delete_authenticator": gettext_lazy("Your club asks head coaches for a second step: it stays."),
    }

    def encrypt(self, text: str) -> str:
        return seal(text)

    def decrypt(self, encrypted_text: str) -> str:
        return unseal(encrypted_text)

    def build_totp_svg(self, url: str) -> str:
        return str(segno.make(url, error="m").svg_inline(scale=4, border=4, light="white"))

    def can_delete_authenticator(self, authenticator: Any) -> bool:
        return not (second_step.is_required(authenticator.user) and second_step.is_last(authenticator))
