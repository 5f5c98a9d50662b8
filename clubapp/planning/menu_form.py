"""Parse what a coach picked for a suggestion, and where the suggestion stands between two taps."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from clubapp.engine.menu import Answer, Problem
from clubapp.planning import catalogue
from clubapp.planning.bridge import Ask
from clubapp.planning.expected import Expected, most_contacts
from clubapp.planning.forms import LARGEST_FIELD_M
from clubapp.planning.library.card import Aim
from clubapp.planning.library.reading import MOST_CHILDREN, OLDEST, YOUNGEST
from clubapp.planning.models import Session

MOST_STATIONS, LEAST_A_STATION = 8, 3
MOST_SENT = 20  # parts and minutes read from an address


class MenuForm(forms.Form):
    """Aims, who usually comes, adults and ground."""

    aims = forms.MultipleChoiceField(
        label=_("Aims"),
        choices=lambda: [(str(aim), catalogue.aim_word(aim)) for aim in Aim],
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )
    children = forms.IntegerField(label=_("Children"), min_value=1, max_value=MOST_CHILDREN)
    youngest = forms.IntegerField(label=_("Youngest"), min_value=YOUNGEST, max_value=OLDEST)
    oldest = forms.IntegerField(label=_("Oldest"), min_value=YOUNGEST, max_value=OLDEST)
    adults = forms.IntegerField(label=_("Adults"), min_value=0, max_value=99)
    stations = forms.IntegerField(label=_("Stations"), min_value=1, max_value=MOST_STATIONS)
    wide = forms.FloatField(label=_("Ground east, m"), min_value=1, max_value=LARGEST_FIELD_M, required=False)
    long = forms.FloatField(label=_("Ground north, m"), min_value=1, max_value=LARGEST_FIELD_M, required=False)
    repeats = forms.BooleanField(label=_("What was played in the last two weeks may come again"), required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("youngest", 0) > data.get("oldest", OLDEST):
            self.add_error("youngest", _("The youngest cannot be older than the oldest."))
        if data.get("stations", 1) > data.get("children", MOST_CHILDREN):
            self.add_error("stations", _("More stations than children: make fewer."))
        if not self.errors and (data["wide"] is None) != (data["long"] is None):
            self.add_error("long", _("Write both metres, or neither."))
        return data

    def ask(self, expected: Expected, session: Session) -> Ask:
        """Only after `is_valid`."""
        data = self.cleaned_data
        return Ask(
            aims=tuple(data["aims"]),
            children=data["children"],
            youngest=data["youngest"],
            oldest=data["oldest"],
            adults=data["adults"],
            stations=data["stations"],
            ground=(data["wide"], data["long"]) if data["wide"] else None,
            repeats=data["repeats"],
            most_contacts=most_contacts(expected, session.date),
            indoors=bool(session.venue and session.venue.indoors),
        )


def as_usual(session: Session, expected: Expected) -> dict[str, Any]:
    """What is likely right, so that one tap suggests."""
    ages = [min(OLDEST, max(YOUNGEST, age)) for age in expected.ages(session.date)] or [YOUNGEST, OLDEST]
    children = min(MOST_CHILDREN, max(1, len(expected.children)))
    stations = max(1, min(len(Aim), session.adults, children // LEAST_A_STATION))
    box = session.venue.box if session.venue else None
    return {
        "wide": box[0] if box else None,
        "long": box[1] if box else None,
        "aims": [str(aim) for aim in list(Aim)[:stations]],
        "children": children,
        "youngest": min(ages),
        "oldest": max(ages),
        "adults": session.adults,
        "stations": stations,
    }


@dataclass(frozen=True)
class Sent:
    """Between two taps: the cards as they stand, their minutes, the places kept, and the place to swap."""

    cards: tuple[str, ...] = ()
    minutes: tuple[int, ...] = ()
    kept: frozenset[int] = frozenset()
    swap: int | None = None
    again: bool = False

    @property
    def locks(self) -> dict[int, str]:
        return {place: self.cards[place] for place in sorted(self.kept) if place < len(self.cards)}

    def answer(self, problem: Problem) -> Answer | None:
        """The menu that was shown; None where it is none for this problem."""
        shaped = len(self.cards) == len(problem.parts) and len(self.minutes) == len(problem.wholes)
        known = all(card in problem.by_id for card in self.cards)
        return Answer(self.cards, self.minutes) if shaped and known else None


def sent_in(data: QueryDict) -> Sent:
    """What is no number counts as not sent."""
    swap = _numbers(data.getlist("swap"))
    return Sent(
        tuple(card[:40] for card in data.getlist("card")[:MOST_SENT]),
        _numbers(data.getlist("minutes")),
        frozenset(_numbers(data.getlist("keep"))),
        swap[0] if swap else None,
        data.get("go") == "again",
    )


def _numbers(texts: list[str]) -> tuple[int, ...]:
    return tuple(int(text) for text in texts[:MOST_SENT] if text.isascii() and text.isdigit() and len(text) < 4)
