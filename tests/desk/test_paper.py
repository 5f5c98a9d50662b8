"""The sheets of a session: who may have which, what stands on them, and what never does."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from datetime import timedelta
from typing import Any

import pytest
from django.urls import reverse
from django.utils import timezone

from clubapp.core.models import AuditLog
from clubapp.desk.paper import emergency, press
from clubapp.people.actions import GuardianDetails, change_guardian
from clubapp.people.models import Guardianship, MedicalNote, PairRule
from clubapp.planning.models import Session
from tests.cast import Cast, make_child
from tests.desk.papers import LONG_NOTE, filled
from tests.rotation.evening import everybody_here, mark, standing

NAMES = ("Ada", "Bo", "Cleo", "Dev", "Eli", "Fay")
SHEETS = ("session", "stations", "register", "emergency")


def address(session: Session, name: str = "") -> str:
    return reverse(f"desk:paper_{name}" if name else "desk:paper", args=[session.pk])


def shown(cast: Cast, name: str = "", who: str = "hazel", session: Session | None = None) -> str:
    answer = cast.client(getattr(cast, who)).get(address(session or cast.session, name))
    assert answer.status_code == 200
    return " ".join(answer.content.decode().split())


def moved(cast: Cast, **by: int) -> Session:
    """The session begins that much from now, nobody is marked, and Finn leads it."""
    at = (timezone.now() + timedelta(**by)).astimezone(cast.club.zone)
    Session.objects.filter(pk=cast.session.pk).update(date=at.date(), starts=at.time(), leader=cast.finn)
    return Session.objects.get(pk=cast.session.pk)


# --- who may have which ----------------------------------------------------------------------------------------------


def test_access(cast: Cast) -> None:
    mark(cast.session, cast.ada)
    for name in ("", *SHEETS):
        path = address(cast.session, name)
        assert reverse("people:sign_in") in cast.client().get(path)["Location"]
        for who in ("sal", "olga", "greta", "wanda", *(("finn",) if name == "emergency" else ())):
            for query in ("", "?as=pdf"):
                assert cast.client(getattr(cast, who)).get(path + query).status_code == 404, (name, who)
    assert not AuditLog.objects.filter(verb="read").exists()


def test_it_is_found_from_the_session_and_from_the_groups(cast: Cast) -> None:
    for page in ("planning:session", "rotation:plan"):
        html = cast.client(cast.finn).get(reverse(page, args=[cast.session.pk])).content.decode()
        assert address(cast.session) in html


def test_the_page_leads_to_what_this_adult_may_have(cast: Cast) -> None:
    mark(cast.session, cast.ada)
    for who, names in (("hazel", SHEETS), ("finn", SHEETS[:3])):
        html = shown(cast, who=who)
        assert [name for name in SHEETS if f'href="{address(cast.session, name)}"' in html] == list(names)
        assert ("Emergency sheet" in html) is (who == "hazel")


def test_the_emergency_sheet_is_the_leaders_round_the_session(cast: Cast) -> None:
    leader = cast.client(cast.finn)
    for by, opened in (({"days": 5}, False), ({"days": 1}, True), ({"minutes": -90}, True), ({"hours": -5}, False)):
        session = moved(cast, **by)
        assert (leader.get(address(session, "emergency")).status_code == 200) is opened, by
        html = shown(cast, who="finn", session=session)
        assert ("It opens on" in html) is not opened
        assert (f'href="{address(session, "emergency")}' in html) is opened
    assert cast.client(cast.hazel).get(address(session, "emergency")).status_code == 404


def test_the_leader_keeps_it_while_a_child_waits(cast: Cast) -> None:
    session = moved(cast, hours=-5)
    assert not emergency.is_open(session)
    mark(session, cast.ada)
    assert emergency.is_open(session)
    mark(session, cast.ada, "left", minutes=5)
    assert not emergency.is_open(session)


# --- what stands on them ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("who", ["hazel", "finn"])
def test_the_session_sheet_has_groups_and_times_only(cast: Cast, who: str) -> None:
    everybody_here(cast)
    PairRule.objects.create(club=cast.club, kind="together").athletes.set(cast.athletes[:2])
    MedicalNote.objects.create(athlete=cast.ada, what_to_do=LONG_NOTE)
    standing(cast)
    mark(cast.session, cast.athletes[5], "left", minutes=5)
    html = shown(cast, "session", who)
    assert "Ada" in html
    assert "Fay" not in html
    assert "10:05" in html
    for word in ("skill", "differ", "fair", "together", "inhaler", "Reed", "+4477"):
        assert word not in html


def test_the_session_sheet_from_the_timeline_to_the_bag(cast: Cast) -> None:
    mark(filled(cast, 12, 3), late := make_child(cast.club, cast.squad, "Ivo"))
    html = shown(cast, "session")
    parts = (
        "10:00</th><td>gather: Quiet as a vole</td>", "10:05</th><td>rotation</td>", "23 min",
        "10:28</th><td>water</td>", "2:30 min", "10:35</th><td>end</td>",
    )  # fmt: skip
    for words in (*parts, "STOP: everybody to</b> the tall poplar", f"in no group:</b> {late.given_name}"):
        assert words in html
    assert html.count('data-bib="red"') == 1 + 3  # beside its names, and where it is in each round
    assert "field-ground" in html
    assert "first cone" in html
    assert "24 cones" in html  # 8 of each of the three cards
    assert "through a shredder" in html


def test_before_there_are_groups_the_sheet_has_the_plan_alone(cast: Cast) -> None:
    html = shown(cast, "session")
    for words in ("10:00</th><td>gather", "10:05</th><td>rotation", "48 min", "There are no groups yet.", "no venue"):
        assert words in html
    assert "There are no groups yet." in shown(cast)


def test_a_card_says_what_to_do_and_who_comes_when_and_names_nobody(cast: Cast) -> None:
    session = filled(cast, 12, 3)
    card = shown(cast, "stations", "finn").split("<article")[3]
    for words in (
        "Heron and fish",
        "Look for",
        "No guessing: a wrong start is simply done again.",
        "Easier:",
        "Harder:",
    ):
        assert words in card
    for words in ("Take care", "All herons on one side", "Kit:</b> 8 cones", "the tall poplar", 'class="ground"'):
        assert words in card
    assert [card.count(at) for at in ("10:05</th>", "10:13</th>", "10:21</th>")] == [1, 1, 1]
    comes = [card.index(f'data-bib="{bib}"') for bib in ("green", "blue", "red")]
    assert comes == sorted(comes)
    assert card.count("→ 1</span>") == 2  # and after the last round nowhere
    everywhere = shown(cast, "stations", "finn")
    for child in session.squad.athletes.all():
        assert f"{child.given_name} " not in everywhere
    assert "inhaler" not in everywhere


def test_a_station_of_the_coachs_own_shows_its_set_up(cast: Cast) -> None:
    cast.session.stations.filter(number=1).update(set_up="Two hoops.\nHop.", kit={"hoops": 2})
    first, second = shown(cast, "stations").split("<article")[1:3]
    assert "Two hoops.<br>Hop." in first
    assert "2 hoops" in first
    assert "Nobody has drawn this station." in first
    assert "How it is set up is not written down" in second


def test_nobody_is_ticked_beforehand(cast: Cast) -> None:
    mark(cast.session, cast.ada)
    mark(cast.session, cast.athletes[1], "told", by_guardian=True)
    html = shown(cast, "register", "finn").replace("> <", "><")
    rows = html.split("<tbody>")[1].split("</tbody>")[0].split("</tr>")[:-1]
    assert [f"{name} Reed" in row for row, name in zip(rows, NAMES, strict=False)] == [True] * 6
    assert {row.count('<span class="paper-tick"></span>') for row in rows} == {2}
    assert "told us: cannot come" in rows[1]
    assert rows[0].replace("Ada", "x") == rows[2].replace("Cleo", "x")
    assert len(rows) == 6 + 3


def test_the_emergency_sheet_holds_who_may_be_there_and_every_look_is_logged(cast: Cast) -> None:
    filled(cast, 6, 2)
    for child, kind in ((cast.athletes[3], "told"), (cast.athletes[4], "absent")):
        mark(cast.session, child, kind, minutes=5)
    html = shown(cast, "emergency")
    for words in ("For the leader alone. Destroy it after the session.", "Destroyed on", "the tall poplar"):
        assert words in html
    for words in ("Alder Lane 1", "the white gate", "Bankside Infirmary", "01632 960001", "green bag"):
        assert words in html
    assert html.count(LONG_NOTE) == 1  # Ada's; Dev told us
    assert "Greta <b" in html
    assert "Adult of Ada <b" in html
    assert "Adult of Dev" not in html
    assert "2 children are left out" in html
    there = {cast.athletes[at].pk for at in (0, 1, 2, 5)}
    logged = AuditLog.objects.filter(verb="read", user_id=cast.hazel.pk, club_id=cast.club.pk)
    assert set(logged.filter(kind="emergency number").values_list("about", flat=True)) == there
    assert set(logged.filter(kind="medical note").values_list("about", flat=True)) == {cast.ada.pk}


def test_nobody_asked_and_no_number_are_said(cast: Cast) -> None:
    mark(cast.session, cast.athletes[5])
    html = shown(cast, "emergency")
    assert "nobody was asked about health" in html
    assert "no number" in html
    assert html.count("not written down") == 6


def test_an_adult_whose_contact_is_restricted_is_on_no_sheet(cast: Cast) -> None:
    tie = Guardianship.objects.get(guardian__user=cast.gus)
    mark(cast.session, tie.athlete)
    details = GuardianDetails(tie.guardian.name, phone=tie.guardian.phone, restricted=True)
    change_guardian(tie=tie, details=details, by=cast.hazel)
    html = shown(cast, "emergency")
    assert "Gus" not in html
    assert "Greta" in html


# --- without the press -----------------------------------------------------------------------------------------------


@pytest.fixture
def no_press(monkeypatch: pytest.MonkeyPatch) -> Iterator[Any]:
    return monkeypatch.setattr(press, "is_installed", lambda: False)


def test_without_the_extra_the_page_says_how_to_print(cast: Cast, no_press: None) -> None:
    html = shown(cast)
    assert "“Save as PDF” makes the same" in html
    assert "as=pdf" not in html + shown(cast, "session")


def test_where_no_pdf_can_be_made_the_page_is_shown_and_says_so(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(sys, "executable", "/nowhere/python")
    answer = cast.client(cast.hazel).get(address(cast.session, "session") + "?as=pdf", follow=True)
    html = answer.content.decode()
    assert "No PDF can be made on this machine." in html
    assert "Timeline" in html
