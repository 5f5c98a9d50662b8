"""Sealed text: unreadable in the database without the key kept outside it."""

from __future__ import annotations

import pytest
from cryptography.fernet import Fernet
from django.db import connection
from pytest_django.fixtures import Settings

from clubapp.core.fields import seal, unseal
from clubapp.people.models import MedicalNote
from tests.cast import Cast

NOTE = "asthma: blue inhaler in the red bag"


def stored(note: MedicalNote) -> tuple[str, str]:
    with connection.cursor() as cursor:
        cursor.execute("SELECT note, what_to_do FROM people_medicalnote")
        row = cursor.fetchone()
    return row[0], row[1]


def test_the_database_does_not_hold_the_words(cast: Cast) -> None:
    note = MedicalNote.objects.create(athlete=cast.ada, note=NOTE, what_to_do="sit down, inhaler")
    assert "inhaler" not in "".join(stored(note))
    note.refresh_from_db()
    assert (note.note, note.what_to_do) == (NOTE, "sit down, inhaler")


def test_an_empty_text_stays_empty(cast: Cast) -> None:
    note = MedicalNote.objects.create(athlete=cast.ada, note="", what_to_do="sit down")
    assert stored(note)[0] == ""
    note.refresh_from_db()
    assert note.note == ""


def test_equal_words_do_not_look_equal() -> None:
    assert seal(NOTE) != seal(NOTE)


def test_a_new_key_still_opens_what_the_old_one_sealed(settings: Settings) -> None:
    old, new = Fernet.generate_key().decode(), Fernet.generate_key().decode()
    settings.FIELD_KEYS = [old]
    before = seal(NOTE)
    settings.FIELD_KEYS = [new, old]
    assert unseal(before) == NOTE
    after = seal(NOTE)
    settings.FIELD_KEYS = [new]
    assert unseal(after) == NOTE
    with pytest.raises(ValueError, match="does not fit"):
        unseal(before)
