"""A session that fills its sheets: a venue, stations of the library placed on it, children with adults, groups."""

from __future__ import annotations

from collections.abc import Sequence

from clubapp.engine.words import BIBS
from clubapp.people.models import Guardian, Guardianship, Health, MedicalNote
from clubapp.planning.library.shelf import standard
from clubapp.planning.models import Block, Session, Station, Venue
from clubapp.rotation.models import Plan
from clubapp.rotation.wishes import Wishes
from tests.cast import Cast
from tests.rotation.evening import everybody_here, work_and_change

MEADOW = {
    "outline": [[0, 0], [90, 0], [90, 70], [0, 70]],
    "closed": [{"name": "pond", "at": [80, 0], "size": [10, 10]}],
    "water": [45, 69],
    "first_aid": [45, 1],
    "first_aid_at": "green bag on the bench",
    "meeting_place": "the tall poplar",
    "address": "Alder Lane 1, Bankside",
    "gate": "the white gate; the warden has the key",
    "entrance": "Bankside Infirmary, east entrance",
    "phone": "01632 960001",
}
CARDS = (
    "straight-to-the-post",
    "three-sluices",
    "heron-and-fish",
    "river-bends",
    "millers-sacks",
    "otters-crossing",
    "fingers-up",
    "puddle-leaps",
)
LONG_NOTE = "Sit down, blue inhaler from the red bag, two puffs. Not better in five minutes: ring the emergency number."
FAMILY_NAMES = ("Featherstonehaugh-Marsh", "Reed", "Waterhouse", "Alderton")


def filled(cast: Cast, children: int, groups: int, codes: Sequence[str] = CARDS) -> Session:
    """As many stations and rounds as groups; every third child has a note, every child two adults to ring."""
    venue = Venue.objects.create(club=cast.club, name="Long meadow", **MEADOW)
    Session.objects.filter(pk=cast.session.pk).update(venue=venue, minutes=90)
    Station.objects.filter(session=cast.session).delete()
    for number, code in enumerate(codes[:groups], start=1):
        card, spot = standard()[code], number - 1
        Station.objects.create(
            session=cast.session, number=number, name=card.name, activity=code, diagram=card.diagram,
            kit=card.kit_all, x_m=14.0 + 20 * (spot % 4), y_m=20.0 + 32 * (spot // 4),
        )  # fmt: skip
    Block.objects.filter(session=cast.session, kind="gather").update(name="Quiet as a vole")
    here = everybody_here(cast, children)
    for place, child in enumerate(here):
        child.family_name, child.health = FAMILY_NAMES[place % 4], Health.NOTE if place % 3 == 0 else Health.NOTHING
        child.save()
        if place % 3 == 0:
            MedicalNote.objects.create(athlete=child, what_to_do=LONG_NOTE)
        while child.adults.count() < 2:
            one = Guardian.objects.create(club=cast.club, name=f"Adult of {child.given_name}", phone="+447700900321")
            Guardianship.objects.create(guardian=one, athlete=child, relation="aunt", emergency_order=2)
    grouped(cast, [str(child.pk) for child in here], groups)
    return Session.objects.get(pk=cast.session.pk)


def grouped(cast: Cast, ids: list[str], groups: int) -> Plan:
    stations = [str(one.pk) for one in Station.objects.filter(session=cast.session).order_by("number")]
    answer = {
        "groups": [{"bib": bib, "athletes": ids[at::groups]} for at, bib in enumerate(BIBS[:groups])],
        "rounds": [[stations[(group + turn) % groups] for group in range(groups)] for turn in range(groups)],
        "timetable": [
            {"kind": "gather", "seconds": 300, "round": None},
            *work_and_change(groups),
            {"kind": "water", "seconds": 150, "round": None},
            {"kind": "cool-down", "seconds": 300, "round": None},
        ],
    }
    wishes = Wishes(groups=groups, rounds=groups, not_alone=(), within_years=None).stored()
    return Plan.objects.create(
        session=cast.session, version=1, wishes=wishes, answer=answer, engine="1", why="built", by=cast.hazel
    )
