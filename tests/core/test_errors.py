"""Our own pages for what goes wrong. No test here may touch the database: the pages must stand without one."""

from __future__ import annotations

import re

import pytest
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.test import Client, RequestFactory
from django.urls import path
from pytest_django.fixtures import Settings

from clubapp.core import errors
from clubapp.core.views import offline

handler400, handler403 = errors.bad_request, errors.forbidden
handler404, handler500 = errors.not_found, errors.broken


def breaks(request: HttpRequest, token: str) -> HttpResponse:
    raise RuntimeError("a fault of ours")


def refuses(request: HttpRequest) -> HttpResponse:
    raise PermissionDenied


def reads(request: HttpRequest) -> HttpResponse:
    return HttpResponse(request.POST["pasted"])


urlpatterns = [
    path("breaks/<str:token>/", breaks, name="breaks"),
    path("refuses/", refuses, name="refuses"),
    path("reads/", reads, name="reads"),
]


@pytest.fixture
def client(settings: Settings) -> Client:
    settings.ROOT_URLCONF = __name__
    settings.DEBUG = False
    return Client(raise_request_exception=False)


def words(response: HttpResponse) -> str:
    return " ".join(re.sub(r"<[^>]*>", " ", response.content.decode()).split())


def test_an_unknown_address_answers_404(client: Client) -> None:
    response = client.get("/nowhere/")
    assert response.status_code == 404
    assert "There is nothing here for you" in words(response)


def test_a_fault_of_ours_answers_500(client: Client) -> None:
    response = client.get("/breaks/a-secret-token/")
    assert response.status_code == 500
    assert "Something broke on our side" in words(response)
    assert "a fault of ours" not in words(response)


def test_the_log_holds_the_fault_but_no_address(client: Client, caplog: pytest.LogCaptureFixture) -> None:
    client.get("/breaks/a-secret-token/")
    assert "a fault of ours" in caplog.text
    assert "secret" not in caplog.text


def test_a_forged_form_leaves_no_address_in_the_log(client: Client, caplog: pytest.LogCaptureFixture) -> None:
    Client(enforce_csrf_checks=True).post("/breaks/a-secret-token/")
    assert "Forbidden" in caplog.text
    assert "secret" not in caplog.text


def test_a_refusal_answers_403(client: Client) -> None:
    response = client.get("/refuses/")
    assert response.status_code == 403
    assert "Not for this account" in words(response)


def test_a_strange_host_answers_400(client: Client) -> None:
    response = client.get("/", HTTP_HOST="somewhere.example")
    assert response.status_code == 400
    assert "That could not be read" in words(response)


def test_a_form_without_its_token_answers_403_and_says_nothing_was_saved(client: Client) -> None:
    strict = Client(enforce_csrf_checks=True)
    response = strict.post("/refuses/", {"name": "Ada"})
    assert response.status_code == 403
    assert "nothing was saved" in words(response)


def test_a_form_that_is_too_big_answers_413(client: Client, settings: Settings) -> None:
    settings.DATA_UPLOAD_MAX_MEMORY_SIZE = 100
    response = client.post("/reads/", "pasted=" + "x" * 200, content_type="application/x-www-form-urlencoded")
    assert response.status_code == 413
    assert "That is too much at once" in words(response)


@pytest.mark.parametrize(("seconds", "said"), [(1, "Wait 1 minute,"), (60, "Wait 1 minute,"), (61, "Wait 2 minutes,")])
def test_too_many_tries_answer_429_and_say_how_long_to_wait(rf: RequestFactory, seconds: int, said: str) -> None:
    response = errors.too_many(rf.get("/"), wait_seconds=seconds)
    assert response.status_code == 429
    assert response["Retry-After"] == str(seconds)
    assert said in words(response)


def test_the_offline_page_may_be_kept_and_holds_nothing_of_anybody(rf: RequestFactory) -> None:
    response = offline(rf.get("/offline/"))
    assert response.status_code == 200
    assert "private" not in response["Cache-Control"]
    assert "No network" in words(response)


@pytest.mark.parametrize("page", [errors.not_found, errors.broken, errors.too_large, errors.forged])
def test_the_pages_need_no_script(rf: RequestFactory, page: type[errors.HttpResponse]) -> None:
    html = page(rf.get("/")).content.decode()
    assert "<script" not in html
    assert 'href="/"' in html
