"""Where a form or link may send somebody on to: pages of ours alone."""

from __future__ import annotations

from django.http import HttpRequest
from django.utils.http import url_has_allowed_host_and_scheme


def own_path(request: HttpRequest, wanted: str) -> str:
    """The address that was asked for if it is ours, else nothing.

    It has to begin with a slash: a redirect takes a bare word for the name of a page, and fails if there is none.
    """
    ours = url_has_allowed_host_and_scheme(wanted, {request.get_host()}, require_https=request.is_secure())
    return wanted if ours and wanted.startswith("/") else ""
