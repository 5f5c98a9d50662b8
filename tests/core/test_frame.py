"""What stands round every page: the frame, the content policy, and the parts that forms are put together from."""

from __future__ import annotations

import json
import re

import pytest
from django import forms
from django.template.loader import render_to_string
from django.test import Client
from django.urls import reverse

from tests.cast import Cast

pytestmark = pytest.mark.django_db


@pytest.fixture
def page() -> str:
    return Client().get(reverse("people:sign_in")).content.decode()


def test_the_policy_lets_nothing_in_from_elsewhere() -> None:
    policy = Client().get(reverse("people:sign_in"))["Content-Security-Policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert "*" not in policy


def test_htmx_keeps_no_pages_on_the_phone_and_runs_no_text(page: str) -> None:
    found = re.search(r"<meta name=\"htmx-config\" content='([^']*)'", page)
    assert found
    config = json.loads(found.group(1))
    assert config["historyCacheSize"] == 0
    assert (config["allowEval"], config["allowScriptTags"], config["includeIndicatorStyles"]) == (False, False, False)
    assert config["selfRequestsOnly"] is True


def test_htmx_sends_the_token_against_forged_forms(page: str) -> None:
    found = re.search(r"hx-headers='([^']*)'", page)
    assert found
    token = json.loads(found.group(1))["X-CSRFToken"]
    client = Client(enforce_csrf_checks=True)
    client.cookies["fieldbell-csrf"] = token
    bare = client.post(reverse("people:sign_out"))
    sent = client.post(reverse("people:sign_out"), headers={"X-CSRFToken": token})
    assert bare.status_code == 403
    assert sent.status_code == 302


def test_the_first_link_leads_past_the_head(page: str) -> None:
    first = re.findall(r"<a [^>]*>", page)[0]
    assert 'href="#main"' in first
    assert page.count('id="main"') == 1


def test_messages_are_spoken_politely_and_the_place_is_there_from_the_start(page: str) -> None:
    assert re.search(r'<div class="messages" id="messages" role="status" aria-live="polite"', page)


def test_who_is_signed_in_can_leave(cast: Cast, page: str) -> None:
    assert f'action="{reverse("people:sign_out")}"' not in page
    assert f'action="{reverse("people:sign_out")}"' in cast.client(cast.hazel).get("/").content.decode()


class Details(forms.Form):
    name = forms.CharField(help_text="As the coach calls the child")
    kinds = forms.MultipleChoiceField(
        choices=[("a", "jumps")], widget=forms.CheckboxSelectMultiple, help_text="What to leave out"
    )
    collects = forms.BooleanField(label="May collect")


def drawn(field: str, form: Details) -> str:
    return render_to_string("core/field.html", {"field": form[field]})


def described_by(html: str, tag: str) -> list[str]:
    found = re.search(rf'<{tag}[^>]*aria-describedby="([^"]*)"', html)
    return found.group(1).split() if found else []


@pytest.mark.parametrize(("field", "tag"), [("name", "input"), ("kinds", "fieldset"), ("collects", "input")])
def test_help_and_error_are_tied_to_the_field(field: str, tag: str) -> None:
    html = drawn(field, Details({}))
    ids = described_by(html, tag)
    assert f"id_{field}_error" in ids
    assert [name for name in ids if html.count(f'id="{name}"') != 1] == []


def test_a_label_belongs_to_its_field() -> None:
    for field in ("name", "collects"):
        html = drawn(field, Details())
        assert f'<label for="id_{field}">' in html
        assert f'id="id_{field}"' in html
    assert "<legend>Kinds</legend>" in drawn("kinds", Details())


def test_the_summary_of_a_refused_form_leads_to_each_field() -> None:
    form = Details({})
    html = render_to_string("core/form_errors.html", {"form": form})
    whole = "".join(drawn(field, form) for field in form.fields)
    links = re.findall(r'href="#([^"]*)"', html)
    assert len(links) == 3
    assert [name for name in links if f'id="{name}"' not in whole] == []
    assert render_to_string("core/form_errors.html", {"form": Details()}).strip() == ""
