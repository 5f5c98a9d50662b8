"""The one way in for somebody whose password was right: on to the second step, if there is one."""

from __future__ import annotations

from allauth.account.internal.flows.login import perform_password_login
from allauth.account.models import Login
from django.http import HttpRequest, HttpResponse

from clubapp.people.models import User


def let_in(request: HttpRequest, user: User, goes_to: str) -> HttpResponse:
    response: HttpResponse = perform_password_login(
        request, {"email": user.email}, Login(user=user, redirect_url=goes_to)
    )
    return response
