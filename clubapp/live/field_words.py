"""What rings, in words."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clubapp.live.models import Whereabouts
from clubapp.live.onfield import Alarm
from clubapp.live.ringing import What
from clubapp.planning.models import Station

Reason = Whereabouts.Reason
LATE_S = 5  # an alarm that took longer says so


@dataclass(frozen=True)
class Words:
    """name: of the child. at: the time on the club's clock."""

    name: str
    station: Station | None
    at: str


def title(alarm: Alarm, words: Words) -> str:
    """The one line to read from an arm's length."""
    match alarm.what:
        case What.MISSING:
            return _("%(name)s is missing") % {"name": words.name}
        case What.AWAY:
            return _("%(name)s is away") % {"name": words.name}
        case What.SHORT:
            return ngettext("%(n)d child short", "%(n)d children short", alarm.short) % {"n": alarm.short}
        case What.HURT:
            return _("%(name)s: head injury suspected") % {"name": words.name}
        case _:
            return _("Help here: %(who)s") % {"who": alarm.said_by.name or _("an adult")}


def note(alarm: Alarm, words: Words, *, helper: bool = False) -> str:
    """Where, since when, who said so, and how late it came. Helpers are not told of first aid."""
    parts = [_place(words.station), _said(alarm, words, helper)]
    if alarm.what is not What.HELP and alarm.said_by.name:
        parts.append(_("said by %(who)s") % {"who": alarm.said_by.name})
    if alarm.late_s > LATE_S:
        parts.append(_("came here %(late)s late") % {"late": span(alarm.late_s)})
    return " · ".join(part for part in parts if part)


def _place(station: Station | None) -> str:
    return _("station %(n)d, %(name)s") % {"n": station.number, "name": station.name} if station else ""


def _said(alarm: Alarm, words: Words, helper: bool) -> str:
    since = _("since %(time)s") % {"time": words.at}
    if alarm.what is What.AWAY:
        return f"{_reason(alarm, helper)} {since}"
    if alarm.what is What.SHORT:
        said: dict[str, Any] = {"counted": alarm.counted, "expected": alarm.expected}
        return _("%(counted)d counted, %(expected)d expected, nobody said who") % said
    if alarm.what is What.HURT:
        return _("out of the session, fit the groups; read the note")
    return since


def _reason(alarm: Alarm, helper: bool) -> str:
    whom = _("with %(who)s") % {"who": alarm.with_whom} if alarm.with_whom else _("alone")
    if helper and alarm.reason == Reason.FIRST_AID:
        return whom
    if alarm.reason == Reason.ADULT:
        return whom if alarm.with_whom else _("with another adult")
    return f"{Reason(alarm.reason).label}, {whom}"


def answer(name: str, *, coach: bool) -> str:
    """What the adult who raised it reads: somebody comes."""
    if coach:
        return _("Coach is coming: %(who)s") % {"who": name}
    return _("%(who)s is coming") % {"who": name or _("An adult")}


def found(name: str, row: Whereabouts, at: str) -> str:
    """A child who was missing."""
    words = {"name": name, "time": at, "who": row.with_whom}
    if row.kind == Whereabouts.Kind.AWAY:
        return _("%(name)s is found: away, said at %(time)s") % words
    if row.with_whom:
        return _("%(name)s is found: with %(who)s, %(time)s") % words
    return _("%(name)s is found, %(time)s") % words


def span(seconds: int) -> str:
    """ "40 s", "3 min"."""
    return _("%(n)d s") % {"n": seconds} if seconds < 60 else _("%(n)d min") % {"n": round(seconds / 60)}


def for_phones() -> dict[str, Any]:
    """Every sentence the counting and ringing scripts say; %s stands for what they fill in."""
    return {
        "how_many": _("How many stand here?"),
        "counted": _("%s counted."),
        "counted_at": _("%s counted at station %s"),
        "close": _("Close"),
        "help": _("Help here"),
        "who": _("You counted %s. Who is not here?"),
        "who_more": _("Who else is not here?"),
        "extra": _("You counted %s. Who is extra?"),
        "extra_more": _("Who else is extra?"),
        "where": _("Where is %s?"),
        "with": _("With whom?"),
        "alone": _("alone"),
        "away_who": _("Who goes away?"),
        "note": _("Incident note"),
        "stays": _("Say who stays with the child: nobody with a knock to the head is alone."),
        "goes": _("Somebody goes away"),
        "missing": _("Missing: nobody here knows"),
        "toilet": _("Toilet"),
        "first_aid": _("First aid"),
        "adult": _("With another adult"),
        "go_back": _("Goes back there now"),
        "stay": _("Stays here this round"),
        "unlisted": _("Not on this list: call the leader"),
        "again": _("Count again"),
        "no_group": _("has no group yet"),
        "is_missing": _("missing"),
        "is_away": _("away"),
        "is_found": _("here"),
        "rests": _("resting"),
        "station": _("station %s"),
        "saved": _("Kept."),
        "unsent": _("Not sent: shout, or send a runner. It is tried again by itself."),
        "refused": _("That was not taken: "),
        "calling": _("Calling the leader…"),
        "seconds": _("%s s"),
        "minutes": _("%s min"),
    }
