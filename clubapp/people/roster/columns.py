"""Which column of a file means what: our own names, the headings other people use, and a guess between them."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from clubapp.core.registry import registry
from clubapp.people.roster import adults

TITLES: dict[str, str | Promise] = {
    "id": _("Roster id"),
    "name": _("Whole name"),
    "given_name": _("Given name"),
    "family_name": _("Family name"),
    "known_as": _("Known as"),
    "date_of_birth": _("Date of birth"),
    "birth_year": _("Year of birth"),
    "sex": _("Sex (f, m or x)"),
    "skill": _("Skill, 1 to 5"),
    "first_timer": _("First-timer (yes or no)"),
    "speed_s": _("Speed, seconds"),
    "together": _("Keep together (labels)"),
    "apart": _("Keep apart (labels)"),
    "joined": _("Joined on"),
    "squads": _("Squads"),
    "left": _("Left the club"),
    "adults": _("Adult"),
}
ALIASES: dict[str, tuple[str, ...]] = {
    "id": ("roster_id", "number", "no", "nr", "member_id", "membership_number", "ref"),
    "name": ("full_name", "whole_name", "child", "child_name", "childs_name", "athlete", "athlete_name"),
    "given_name": ("given", "first_name", "first", "forename", "given_names", "christian_name"),
    "family_name": ("family", "last_name", "last", "surname", "second_name"),
    "known_as": ("nickname", "preferred_name", "called", "goes_by"),
    "date_of_birth": ("dob", "d_o_b", "birthday", "birth_date", "birthdate", "born", "born_on"),
    "birth_year": ("year_of_birth", "yob", "year", "born_in"),
    "sex": ("gender", "m_f", "f_m", "girl_boy", "boy_girl"),
    "skill": ("level", "ability", "rating", "skill_1_5", "skill_1_to_5"),
    "together": ("keep_together", "with"),
    "apart": ("keep_apart", "separate", "not_with"),
    "joined": ("joined_on", "join_date", "date_joined", "member_since"),
    "squads": ("squad", "lists"),
}
BEFORE_REGISTERED = ("id", "given_name", "family_name", "known_as", "date_of_birth", "birth_year", "sex", "skill")
AFTER_REGISTERED = ("together", "apart", "joined", "squads")
DATES = ("date_of_birth", "joined")


def exported() -> tuple[str, ...]:
    """The headings of our own file, other apps' columns among them."""
    return (*BEFORE_REGISTERED, *sorted(registry.columns), *AFTER_REGISTERED)


def choices() -> list[tuple[str, str | Promise]]:
    """What a column of the file may mean, for the coach to correct; the empty name leaves it out."""
    names = ("id", "name", *exported()[1:])
    own = [(name, TITLES.get(name, name)) for name in names]
    return [("", _("leave this column out")), *own, *adults.columns().items()]


def guess(header: Sequence[str]) -> list[str]:
    """The meaning of each heading, each meaning once; empty where no heading of that kind is known."""
    meanings = _meanings()
    taken: set[str] = set()
    guessed = []
    for heading in header:
        name = meanings.get(_plain(heading), "")
        guessed.append("" if name in taken else name)
        taken.add(name)
    return guessed


def _meanings() -> dict[str, str]:
    known = {alias: name for name, aliases in ALIASES.items() for alias in aliases}
    for name, column in registry.columns.items():
        known |= {_plain(alias): name for alias in column.aliases}
    known = adults.aliases() | known
    return known | {name: name for name in ("name", *exported(), *adults.columns())}


def _plain(heading: str) -> str:
    """Lower case, without accents, words joined by _: "Date of Birth" and "date-of-birth" are one heading."""
    letters = unicodedata.normalize("NFKD", heading).encode("ascii", "ignore").decode().casefold()
    return re.sub(r"[^a-z0-9]+", "_", letters.replace("'", "")).strip("_")
