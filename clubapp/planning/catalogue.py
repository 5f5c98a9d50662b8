"""A club's activities as one list: the library's cards, what the club changed of them, and its own."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import groupby

from django.http import Http404
from django.utils.safestring import SafeString
from django.utils.translation import gettext as _

from clubapp.core.diagram import drawing, words
from clubapp.core.diagram.reading import layout_of
from clubapp.people.models import Club
from clubapp.planning.library.card import Aim, Card, Level, Place
from clubapp.planning.library.reading import read
from clubapp.planning.library.shelf import standard
from clubapp.planning.library.waiting import Wait, turns_in, waits
from clubapp.planning.models import Activity, Station


@dataclass(frozen=True)
class Listed:
    """One activity of a club. own: not the library's; changed: the library's, as the club has rewritten it."""

    code: str
    card: Card
    own: bool = False
    changed: bool = False
    starred: bool = False
    put_away: bool = False

    @property
    def name(self) -> str:
        return self.card.name

    @property
    def picture(self) -> SafeString:
        return drawing.svg(self.card.layout, self.name)

    @property
    def told(self) -> list[str]:
        """The drawing in words."""
        return words.in_words(self.card.layout)

    @property
    def aims(self) -> str:
        return ", ".join(aim_word(aim) for aim in self.card.aims)

    @property
    def level(self) -> str:
        return level_word(self.card.level)

    @property
    def waits(self) -> list[tuple[str, Wait]]:
        """For every number of children in a lane: what that means, as a sentence; numbers alike in one."""
        alike = groupby(waits(self.card), key=lambda wait: (wait.wait_s, wait.enough, wait.every_s))
        rows = [list(group) for _figures, group in alike]
        return [(wait_words(self.card, row[-1], row[0].children), row[-1]) for row in rows]

    @property
    def turns(self) -> int:
        """Each child has in the card's minutes with full lanes."""
        return turns_in(self.card, self.card.queue[1], self.card.minutes)

    @property
    def run_out(self) -> list[str]:
        room = self.card.layout.room
        return drawing.beyond_words(room, "m") if room else []


def of_club(club: Club) -> list[Listed]:
    """Aim by aim in the library's order, then by name; those put away among them."""
    rows = {row.code: row for row in Activity.objects.filter(club=club)}
    shelf = standard()
    found = [_listed(rows.get(code), code, card) for code, card in shelf.items()]
    found += [_listed(row, code, None) for code, row in rows.items() if code not in shelf]
    return sorted(found, key=lambda one: (list(Aim).index(one.card.aims[0]), one.name.casefold(), one.code))


def _listed(row: Activity | None, code: str, card: Card | None) -> Listed:
    if row is None:
        assert card is not None
        return Listed(code, card)
    written = read(row.card) if row.card else card
    assert written is not None  # a row without a card stands for one of the library's
    changed = bool(row.card and card)
    return Listed(code, written, card is None, changed, starred=row.starred, put_away=row.put_away)


def offered(club: Club) -> list[Listed]:
    return [one for one in of_club(club) if not one.put_away]


def find(listed: Iterable[Listed], code: str) -> Listed:
    """The one of that code, or 404."""
    found = next((one for one in listed if one.code == code), None)
    if found is None:
        raise Http404
    return found


def picture_of(station: Station) -> SafeString | str:
    """The drawing a station was made with; nothing where it has none."""
    return drawing.svg(layout_of(station.diagram), station.name) if station.diagram else ""


def card_of(station: Station) -> str:
    """The code of the card a station was made from, as long as the club still has it."""
    code = station.activity
    there = code in standard() or Activity.objects.filter(club=station.session.club_id, code=code).exists()
    return code if code and there else ""


# --- in words --------------------------------------------------------------------------------------------------------


def aim_word(aim: Aim) -> str:
    words_of = {
        Aim.STRAIGHT: _("straight running"), Aim.TURNING: _("change of direction"), Aim.REACTION: _("reaction"),
        Aim.JUMPING: _("jumping and landing"), Aim.BALL: _("ball sense"), Aim.CHASING: _("chasing and racing"),
    }  # fmt: skip
    return words_of[aim]


def level_word(level: Level) -> str:
    return {Level.EASY: _("easy"), Level.STEADY: _("steady"), Level.HARD: _("hard")}[level]


def place_word(place: Place) -> str:
    return {Place.LANE: _("lane"), Place.PAIR: _("pair"), Place.FIELD: _("field")}[place]


def wait_words(card: Card, wait: Wait, least: int = 0) -> str:
    """ "With 5 in this lane each child runs 4 s and waits 56 s." least: of several numbers of which that is true."""
    numbers = {"least": least, "most": wait.children}
    n = _("%(least)d to %(most)d") % numbers if 0 < least < wait.children else wait.children
    said = {"n": n, "work": wait.work_s, "wait": wait.wait_s, "place": place_word(card.place)}
    if card.metres:
        return _("With %(n)s in this %(place)s each child runs %(work)d s and waits %(wait)d s.") % said
    return _("With %(n)s in this %(place)s each child is busy for %(work)d s and waits %(wait)d s.") % said
