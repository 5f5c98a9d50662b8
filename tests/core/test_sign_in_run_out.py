"""A tap after the sign-in has run out."""

from __future__ import annotations

from django.urls import reverse

from tests.cast import Cast


def test_a_tap_sends_the_whole_page_to_sign_in_and_back(cast: Cast) -> None:
    page = reverse("register:register", args=[cast.session.pk])
    headers = {"HX-Request": "true", "HX-Current-URL": f"http://testserver{page}"}
    answer = cast.client().post(reverse("register:mark", args=[cast.session.pk]), headers=headers)
    assert answer.status_code == 200
    assert answer["HX-Redirect"] == f"{reverse('people:sign_in')}?next={page}"
    assert answer.content == b""


def test_an_ordinary_form_is_redirected_as_ever(cast: Cast) -> None:
    answer = cast.client().post(reverse("register:mark", args=[cast.session.pk]))
    assert answer.status_code == 302
