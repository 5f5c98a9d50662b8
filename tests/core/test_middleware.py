"""The one log line of a request, and what caches on the way may keep."""

from __future__ import annotations

import logging
import re

import pytest
from django.http import HttpRequest, HttpResponse
from django.test import Client, RequestFactory

from clubapp.core.middleware import private_pages
from tests.cast import Cast


@pytest.mark.django_db
def test_the_line_names_the_route_and_never_the_address(caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.INFO)
    response = Client().get("/people/invitation/a-secret-token/?email=ada@alder.example")
    lines = [record.getMessage() for record in caplog.records]
    assert response.status_code == 404
    assert len([line for line in lines if " GET " in line]) == 1
    assert not [line for line in lines if "secret" in line or "ada@" in line or "/people/" in line]


def test_the_line_names_route_status_and_time(cast: Cast, caplog: pytest.LogCaptureFixture) -> None:
    caplog.set_level(logging.INFO, logger="clubapp.request")
    response = cast.client().get("/offline/")
    line = caplog.records[-1].getMessage()
    assert re.fullmatch(rf"{response['X-Request-ID']} GET core:offline 200 \d+ ms", line)


def test_every_request_has_an_id_of_its_own(cast: Cast) -> None:
    client = cast.client()
    assert client.get("/offline/")["X-Request-ID"] != client.get("/offline/")["X-Request-ID"]


@pytest.mark.parametrize(("method", "kept"), [("get", "private, no-cache"), ("post", "no-store")])
def test_no_cache_on_the_way_keeps_a_page(rf: RequestFactory, method: str, kept: str) -> None:
    def plain(request: HttpRequest) -> HttpResponse:
        return HttpResponse("a child's name")

    assert private_pages(plain)(getattr(rf, method)("/"))["Cache-Control"] == kept


def test_a_page_may_say_otherwise(rf: RequestFactory) -> None:
    def shared(request: HttpRequest) -> HttpResponse:
        return HttpResponse("nobody's", headers={"Cache-Control": "max-age=60"})

    assert private_pages(shared)(rf.get("/"))["Cache-Control"] == "max-age=60"


def test_a_fragment_is_never_shown_for_its_page(rf: RequestFactory) -> None:
    def either(request: HttpRequest) -> HttpResponse:
        return HttpResponse("fragment" if "HX-Request" in request.headers else "page", headers={"Vary": "Cookie"})

    assert private_pages(either)(rf.get("/"))["Vary"] == "Cookie, HX-Request"
