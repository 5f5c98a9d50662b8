"""Every form speaks in our words: each is sent empty and full of nonsense, and no sentence of Django's comes back."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
from collections.abc import Iterator
from uuid import UUID

import pytest
from django import forms
from django.utils.translation import gettext
from hypothesis import given
from hypothesis import strategies as st

import clubapp
from clubapp.core import plain

# The beginnings of Django's own sentences on a form.
STOCK = (
    "This field",
    "Enter ",
    "Select ",
    "Ensure ",
    "“",
    "Null characters",
    "Must be",
    "The submitted",
    "No file was",
)
NONSENSE = (None, "", "x" * 3000, "-1", "1e9", "99999999", "a\0b", "2026-13-40")
FORM_MODULES = [
    name
    for _finder, name, _package in pkgutil.walk_packages(clubapp.__path__, "clubapp.")
    if ".forms" in name and ".migrations" not in name
]


def our_fields() -> Iterator[tuple[str, forms.Field]]:
    for module in map(importlib.import_module, FORM_MODULES):
        for name, form in inspect.getmembers(module, inspect.isclass):
            if issubclass(form, forms.BaseForm) and form.__module__ == module.__name__:
                for field_name, field in form.base_fields.items():
                    yield f"{module.__name__}.{name}.{field_name}", field


FIELDS = dict(our_fields())


def nonsense(field: forms.Field) -> tuple[object, ...]:
    """Of rows one that went meanwhile: a browser sends their ids, and ids are all it can send."""
    if isinstance(field, forms.ModelMultipleChoiceField):
        return ([], [str(UUID(int=7))], "a")
    if isinstance(field, forms.ModelChoiceField):
        return ("", str(UUID(int=7)))
    if isinstance(field, forms.MultipleChoiceField):
        return ([], *([value] for value in NONSENSE))
    return NONSENSE


def said(field: forms.Field, value: object) -> list[str]:
    try:
        field.clean(value)
    except forms.ValidationError as error:
        return [str(message) for message in error.messages]
    return []


@pytest.mark.django_db
@pytest.mark.parametrize("name", FIELDS)
def test_a_field_never_answers_in_stock_words(name: str) -> None:
    for value in nonsense(FIELDS[name]):
        for sentence in said(FIELDS[name], value):
            assert not sentence.startswith(STOCK), sentence


def test_the_forms_are_found() -> None:
    apps = {name.split(".")[1] for name in FIELDS}
    assert {"people", "planning", "register", "rotation", "live", "family"} <= apps


@given(st.integers(min_value=61, max_value=500))
def test_a_length_is_told_with_both_figures(length: int) -> None:
    sentence = said(forms.CharField(max_length=60), "a" * length)
    assert sentence == [f"At most 60 letters, please; there are {length}."]


def test_a_fields_own_words_win() -> None:
    assert said(forms.CharField(error_messages={"required": "Who?"}), "") == ["Who?"]


@pytest.mark.parametrize("field", plain.SENTENCES)
def test_each_sentence_is_said_by_its_class(field: type[forms.Field]) -> None:
    for code, sentence in plain.SENTENCES[field].items():
        assert gettext(str(field.default_error_messages[code])) == str(sentence)
