"""Wrong passwords are counted per address and per account, so that neither one nor many phones can guess."""

from __future__ import annotations

import hashlib

from django.http import HttpRequest

from clubapp.core import limiter

FROM_ONE_ADDRESS = 10  # a minute
FOR_ONE_ACCOUNT = 30  # in ten minutes, so that a stranger cannot shut the coach out by a few wrong tries
TEN_MINUTES = 600


def seconds_to_wait(request: HttpRequest, email: str) -> int:
    """0 while another try is allowed."""
    here = limiter.seconds_to_wait("password", limiter.address(request), most=FROM_ONE_ADDRESS)
    account = limiter.seconds_to_wait("account", _hashed(email), most=FOR_ONE_ACCOUNT, per_seconds=TEN_MINUTES)
    return max(here, account)


def count_wrong(request: HttpRequest, email: str) -> None:
    limiter.count_wrong("password", limiter.address(request))
    limiter.count_wrong("account", _hashed(email), per_seconds=TEN_MINUTES)


def _hashed(email: str) -> str:
    return hashlib.sha256(email.strip().casefold().encode()).hexdigest()
