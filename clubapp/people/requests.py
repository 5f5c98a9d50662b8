"""The request of somebody who is signed in, for types only."""

from __future__ import annotations

from django.http import HttpRequest

from clubapp.people.models import User


class SignedIn(HttpRequest):
    """What a view behind `login_required` receives."""

    user: User
