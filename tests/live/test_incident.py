"""Incident notes: who writes, who reads, what a suspected head injury does, and that no date clears a child."""

from __future__ import annotations

import uuid
from datetime import date, timedelta
from html import unescape
from typing import Any

import pytest
from django.db import connection
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from clubapp.core.models import AuditLog
from clubapp.core.registry import registry
from clubapp.live import actions, incident_rows
from clubapp.live.access import Watcher
from clubapp.live.actions import More, Note, RefusedError
from clubapp.live.models import Clearance, Heard, Incident, IncidentMore, KeptIncident, Whereabouts
from clubapp.people.actions import erase_athlete
from clubapp.people.models import Athlete
from clubapp.register import actions as register
from clubapp.register import queries as marks
from clubapp.register.page import page_of
from clubapp.rotation.queries import gone, unplaced
from tests.cast import Cast, make_session
from tests.live.evening import assistant, helper, leader, pass_of, ready
from tests.live.field import field_of, hear, say, sent, standing
from tests.rotation.evening import child_of

FIELDS = {"at": "10:05", "what": "Bumped heads at the cone.", "done": "Sat down.", "stays_with": "Juno"}


def write(cast: Cast, child: Athlete | None = None, **more: Any) -> Incident:
    by = more.pop("by", None) or assistant(cast)
    details = {"what": "Bumped heads.", "stays_with": "Juno", "head_injury": True, "happened_at": timezone.now()}
    return actions.write_incident(note=Note(athlete=child or cast.ada, **{**details, **more}), sent=sent(by))


def clear(cast: Cast, incident: Incident, on: date, by: Watcher | None = None) -> Clearance:
    return actions.clear_child(incident=incident, who="Dr Weir, GP", on=on, sent=sent(by or leader(cast)))


def post(client: Client, cast: Cast, **fields: Any) -> Any:
    return client.post(reverse("live:incident_new", args=[cast.session.pk]), {**FIELDS, **fields})


def later_session(cast: Cast, days: int) -> Any:
    """The register of another day, on which the child is expected again."""
    session = make_session(cast.club, cast.squad)
    session.date = cast.session.date + timedelta(days=days)
    session.save()
    return session


def row_notes(cast: Cast, session: Any, child: Athlete) -> list[str]:
    return [note.text for note in page_of(cast.hazel, session).row(child.pk).notes]


# --- who writes, who reads -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("who", ["sal", "olga", "greta", "wanda"])
def test_outsiders_write_nothing(cast: Cast, who: str) -> None:
    ready(cast)
    assert post(cast.client(getattr(cast, who)), cast, athlete=cast.ada.pk).status_code == 404
    assert not Incident.objects.exists()


@pytest.mark.parametrize("by_pass", [False, True])
def test_a_note_that_waited_for_a_network_is_taken_of_a_child_who_has_gone(cast: Cast, by_pass: bool) -> None:
    ready(cast)
    client = helper(pass_of(cast), cast.hazel)[0] if by_pass else cast.client(cast.finn)
    register.mark(session=cast.session, athlete=cast.ada, said=register.Said("absent"), tap=register.Tap(cast.hazel))
    offered = client.get(reverse("live:incident_new", args=[cast.session.pk])).content.decode()
    assert str(cast.ada.pk) not in offered
    post(client, cast, athlete=cast.ada.pk)
    assert Incident.objects.get().athlete_id == cast.ada.pk


def test_a_helper_writes_of_nobody_who_was_not_here(cast: Cast) -> None:
    ready(cast)
    client, _visitor = helper(pass_of(cast), cast.hazel)
    stranger = child_of(cast)
    answer = post(client, cast, athlete=stranger.pk)
    assert answer.status_code == 422
    assert str(stranger.pk) not in answer.content.decode()
    assert not Incident.objects.exists()


@pytest.mark.parametrize(("who", "may"), [("hazel", True), ("wanda", True), ("finn", True), ("sal", False)])
def test_head_coach_welfare_officer_and_author_read_it(cast: Cast, who: str, may: bool) -> None:
    ready(cast)
    incident = write(cast)
    answer = cast.client(getattr(cast, who)).get(reverse("live:incident", args=[incident.pk]))
    assert answer.status_code == (200 if may else 404)
    assert ("Bumped heads." in unescape(answer.content.decode())) == may


@pytest.mark.parametrize("who", ["olga", "greta", "gus", "sal", "finn"])
def test_nobody_else_reads_it(cast: Cast, who: str) -> None:
    ready(cast)
    incident = write(cast, by=leader(cast))
    client = cast.client(getattr(cast, who))
    assert client.get(reverse("live:incident", args=[incident.pk])).status_code == 404
    assert client.post(reverse("live:incident", args=[incident.pk]), {"words": "x"}).status_code == 404
    listed = client.get(reverse("live:incidents"))
    assert listed.status_code == (404 if who != "olga" else 200)
    assert "Ada" not in listed.content.decode()


def test_a_helper_writes_one_and_sees_nothing_afterwards(cast: Cast) -> None:
    ready(cast)
    inside, visitor = helper(pass_of(cast), cast.hazel, "Tom")
    answer = post(inside, cast, athlete=cast.ada.pk, head_injury="on")
    assert answer["Location"] == reverse("live:bell", args=[cast.session.pk])
    incident = Incident.objects.get()
    assert (incident.visitor, incident.by) == (visitor, None)
    wrote = AuditLog.objects.get(kind="incident note")
    assert (wrote.user, wrote.verb, wrote.detail) == (None, "wrote", {"helper": str(visitor.pk)})
    assert inside.get(reverse("live:incident", args=[incident.pk])).status_code == 302
    assert inside.get(reverse("live:not_before", args=[cast.session.pk, cast.ada.pk])).status_code == 404
    bell = inside.get(reverse("live:bell", args=[cast.session.pk])).content.decode()
    assert "Bumped heads" not in bell


def test_every_look_is_in_the_log_without_words(cast: Cast) -> None:
    ready(cast)
    incident = write(cast)
    before = AuditLog.objects.count()
    cast.client(cast.wanda).get(reverse("live:incident", args=[incident.pk]))
    row = AuditLog.objects.latest("at", "pk")
    assert AuditLog.objects.count() == before + 1
    assert (row.user, row.verb, row.kind, row.about) == (cast.wanda, "read", "incident note", cast.ada.pk)
    assert row.detail == {}


def test_the_words_are_sealed_in_the_database(cast: Cast) -> None:
    ready(cast)
    write(cast, done="Ice.", told_whom="Greta")
    with connection.cursor() as cursor:
        cursor.execute("SELECT what, done, stays_with FROM live_incident")
        kept = " ".join(cursor.fetchone())
        cursor.execute("SELECT told_whom FROM live_incidentmore")
        kept += cursor.fetchone()[0]
    for word in ("Bumped", "Ice", "Juno", "Greta"):
        assert word not in kept
    assert Incident.objects.get().done == "Ice."


# --- the note ------------------------------------------------------------------------------------------------------


def test_a_grazed_knee_takes_nobody_out(cast: Cast) -> None:
    ready(cast)
    answer = post(cast.client(cast.finn), cast, athlete=cast.ada.pk)
    assert answer.status_code == 302
    row = Incident.objects.get()
    assert (row.what, row.done, row.head_injury) == (FIELDS["what"], FIELDS["done"], False)
    assert field_of(cast).alarms == ()
    assert not Whereabouts.objects.exists()
    assert incident_rows.taken_out(cast.session.pk) == set()


def test_the_guardian_told_is_kept_with_it_or_added_later(cast: Cast) -> None:
    ready(cast)
    post(cast.client(cast.finn), cast, athlete=cast.ada.pk, told_whom="Greta", told_at="10:20")
    more = IncidentMore.objects.get()
    assert more.told_whom == "Greta"
    assert more.told_at is not None
    page = reverse("live:incident", args=[Incident.objects.get().pk])
    assert cast.client(cast.finn).post(page, {"words": "Greta fetched her."}).status_code == 302
    text = cast.client(cast.hazel).get(page).content.decode()
    assert "Greta fetched her." in text
    assert FIELDS["what"] in text  # nothing is changed by adding


@pytest.mark.parametrize(
    "fields",
    [
        {"what": ""},
        {"athlete": ""},
        {"athlete": "00000000-0000-4000-8000-000000000000"},
        {"at": "soon"},
        {"head_injury": "on", "stays_with": ""},
    ],
    ids=str,
)
def test_what_a_note_needs(cast: Cast, fields: dict[str, Any]) -> None:
    """Above all: with a knock to the head somebody stays with the child."""
    ready(cast)
    answer = post(cast.client(cast.finn), cast, **{"athlete": str(cast.ada.pk), **fields})
    assert (answer.status_code, Incident.objects.count()) == (422, 0)


def test_a_note_is_never_of_the_future(cast: Cast) -> None:
    ready(cast)
    post(cast.client(cast.finn), cast, athlete=cast.ada.pk, at="23:59")
    assert Incident.objects.get().happened_at <= timezone.now()


def test_the_same_page_sent_twice_is_one_note(cast: Cast) -> None:
    ready(cast)
    op_id = str(uuid.uuid4())
    for _time in range(2):
        post(cast.client(cast.finn), cast, athlete=cast.ada.pk, op_id=op_id, head_injury="on")
    assert (Incident.objects.count(), Whereabouts.objects.count()) == (1, 1)
    answer = post(cast.client(cast.finn), cast, athlete=cast.athletes[1].pk, op_id=op_id)
    assert (answer.status_code, Incident.objects.count()) == (422, 1)


# --- a suspected head injury ---------------------------------------------------------------------------------------


def test_the_child_is_out_of_the_plan_and_still_here(cast: Cast) -> None:
    ready(cast)
    child = standing(cast)[0]
    write(cast, child)
    assert child not in standing(cast)
    assert child.pk in marks.here_ids(cast.session.pk)  # not collected, not gone
    assert gone(cast.session.pk) == {child.pk}  # for the page that fits the groups
    assert unplaced(cast.session.pk) == []
    assert [(alarm.what, alarm.athlete) for alarm in field_of(cast).alarms] == [("hurt", child.pk)]
    hear(cast, field_of(cast).alarms[0].id, leader(cast))
    assert field_of(cast).alarms == ()


def test_the_page_of_changes_takes_the_child_out(cast: Cast) -> None:
    ready(cast)
    child = standing(cast)[0]
    write(cast, child)
    text = cast.client(cast.hazel).get(reverse("rotation:repair", args=[cast.session.pk])).content.decode()
    assert child.given_name in text
    board = cast.client(cast.hazel).get(reverse("live:bell", args=[cast.session.pk])).content.decode()
    assert reverse("rotation:repair", args=[cast.session.pk]) in board
    assert "head injury suspected" in board


def test_no_tap_puts_the_child_back_today(cast: Cast) -> None:
    ready(cast)
    write(cast)
    for kind in ("group", "guest", "missing"):
        with pytest.raises(RefusedError):
            say(cast, cast.ada, kind, round=1, group=0, by=leader(cast))
    assert cast.ada.pk in incident_rows.taken_out(cast.session.pk)


def test_a_mistake_is_said_by_who_runs_the_session_and_the_note_stays(cast: Cast) -> None:
    ready(cast)
    incident = write(cast)
    page = reverse("live:incident", args=[incident.pk])
    fields = {"words": "That was Bo.", "mistaken": "on"}
    cast.client(cast.finn).post(page, fields)  # the author may add, not withdraw
    assert incident_rows.taken_out(cast.session.pk) == {cast.ada.pk}
    assert cast.client(cast.hazel).post(page, {"mistaken": "on"}).status_code == 422
    assert cast.client(cast.hazel).post(page, fields).status_code == 302
    assert incident_rows.taken_out(cast.session.pk) == set()
    assert cast.ada.pk not in field_of(cast).standing(1).away
    assert row_notes(cast, later_session(cast, 7), cast.ada) == []
    assert Incident.objects.get() == incident


def test_the_page_shows_cautions_dates_and_whose_they_are(cast: Cast) -> None:
    ready(cast)
    answer = post(cast.client(cast.finn), cast, athlete=cast.ada.pk, head_injury="on")
    text = unescape(cast.client(cast.finn).get(answer["Location"]).content.decode())
    day = Incident.objects.get().happened_at.astimezone(cast.club.zone).date()
    for until in (day + timedelta(days=1), day + timedelta(days=21)):
        assert f"{until.day} {until:%b} {until.year}" in text
    for words in ("UK grassroots guidelines 2023", "Australian guidelines", "qualified people decide", "Off at once"):
        assert words in text
    assert "Record who cleared" not in text  # an assistant sees the dates, the leader records


# --- later registers -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("days", [1, 7, 20, 21, 22, 365])
def test_every_later_register_says_not_before_and_the_date_alone_never_clears(cast: Cast, days: int) -> None:
    ready(cast)
    write(cast)
    (text,) = row_notes(cast, later_session(cast, days), cast.ada)
    until = cast.club.today() + timedelta(days=21)
    assert f"not before {until.day} {until:%b}" in text
    assert row_notes(cast, later_session(cast, days), cast.athletes[1]) == []


def test_until_the_leader_records_who_cleared_the_child_and_when(cast: Cast) -> None:
    ready(cast)
    incident = write(cast, happened_at=timezone.now() - timedelta(days=30))
    session = later_session(cast, 0)
    page = reverse("live:not_before", args=[session.pk, cast.ada.pk])
    on = cast.club.today() - timedelta(days=2)
    fields = {"incident": incident.pk, "who": "Dr Weir, GP", "on": on.isoformat()}
    assert cast.client(cast.finn).post(page, fields).status_code == 404
    assert row_notes(cast, session, cast.ada)
    assert cast.client(cast.hazel).post(page, {**fields, "who": ""}).status_code == 422
    assert cast.client(cast.hazel).post(page, fields).status_code == 302
    assert row_notes(cast, session, cast.ada) == []
    row = Clearance.objects.get()
    assert (row.who, row.on, row.by) == ("Dr Weir, GP", on, cast.hazel)
    assert "Dr Weir, GP" in cast.client(cast.hazel).get(page).content.decode()
    cast.client(cast.hazel).post(page, {"incident": incident.pk, "withdraw": "yes"})
    assert row_notes(cast, session, cast.ada)


def test_nobody_is_cleared_on_the_day_or_for_a_day_to_come(cast: Cast) -> None:
    ready(cast)
    incident = write(cast)
    for on in (cast.club.today(), cast.club.today() + timedelta(days=3), cast.club.today() - timedelta(days=1)):
        with pytest.raises(RefusedError):
            clear(cast, incident, on)
    assert not Clearance.objects.exists()


def test_a_second_knock_is_not_cleared_by_the_first_ones_doctor(cast: Cast) -> None:
    ready(cast)
    first = write(cast, happened_at=timezone.now() - timedelta(days=30))
    write(cast, happened_at=timezone.now() - timedelta(days=1))
    clear(cast, first, cast.club.today() - timedelta(days=3))
    assert row_notes(cast, later_session(cast, 1), cast.ada)


def test_signs_that_last_move_the_date(cast: Cast) -> None:
    ready(cast)
    incident = write(cast, happened_at=timezone.now() - timedelta(days=30))
    gone_on = cast.club.today() - timedelta(days=3)
    actions.add_to_incident(incident=incident, more=More(signs_gone_on=gone_on), sent=sent(leader(cast)))
    assert incident_rows.hurt_children([cast.ada.pk])[cast.ada.pk].not_before == gone_on + timedelta(days=14)


def test_the_station_s_screen_flags_who_is_not_cleared(cast: Cast) -> None:
    ready(cast)
    child = standing(cast)[0]
    past = later_session(cast, -7)
    register.mark_here(session=past, athlete=child, tap=register.Tap(cast.hazel))
    note = Note(child, timezone.now() - timedelta(days=7), "Bump.", stays_with="Juno", head_injury=True)
    actions.write_incident(note=note, sent=sent(Watcher(past, leader(cast).role, cast.hazel)))
    text = cast.client(cast.finn).get(
        reverse("live:station", args=[cast.session.pk, cast.session.stations.get(number=1).pk])
    )
    assert "not cleared" in text.content.decode()
    assert child in standing(cast)  # a flag; the adults decide
    told = cast.client(cast.finn).get(reverse("live:health", args=[cast.session.pk, child.pk])).content.decode()
    assert "Nobody has cleared this child" in told
    assert "Nothing is written down" not in told


# --- handed out, erased --------------------------------------------------------------------------------------------


def test_the_family_gets_all_of_it_and_erasing_keeps_the_note_alone_for_its_period(cast: Cast) -> None:
    ready(cast)
    incident = write(cast, told_whom="Greta")
    hear(cast, incident.op_id, leader(cast))
    write(cast, cast.athletes[1], head_injury=False)
    kept = registry.exporters["live"](cast.ada.pk)
    assert kept["incidents"][0]["what"] == "Bumped heads."
    assert kept["incidents"][0]["more"][0]["told_whom"] == "Greta"
    assert kept["where"][0]["reason"] == "out of the session"
    ada = cast.ada.pk
    page = cast.client(cast.hazel).get(reverse("people:athlete_erase", args=[ada])).content.decode()
    assert "The incident note of" in page
    assert "Incident notes" in page
    erase_athlete(athlete=cast.ada, by=cast.hazel)
    assert not Incident.objects.filter(athlete=ada).exists()
    assert not Whereabouts.objects.filter(athlete=ada).exists()
    assert not Heard.objects.exists()
    assert Incident.objects.count() == 1
    note = KeptIncident.objects.get()
    assert note.until.year == note.happened_on.year + 15
    with connection.cursor() as cursor:
        cursor.execute("SELECT note FROM live_keptincident")
        assert "Bumped" not in cursor.fetchone()[0]
    read = reverse("live:kept_incident", args=[note.pk])
    for name, through in (("hazel", 200), ("wanda", 200), ("finn", 404), ("greta", 404), ("olga", 404)):
        assert cast.client(getattr(cast, name)).get(read).status_code == through, name
    assert "Bumped heads." in cast.client(cast.wanda).get(read).content.decode()
    assert AuditLog.objects.filter(verb="read", about=note.pk, user=cast.wanda).exists()


def test_a_note_whose_period_is_over_goes_with_the_record(cast: Cast) -> None:
    ready(cast)
    row = write(cast)
    row.session.club.periods = {"incidents": 24}
    row.session.club.save()
    Incident.objects.filter(pk=row.pk).update(happened_at=timezone.now() - timedelta(days=3 * 366))
    erase_athlete(athlete=cast.ada, by=cast.hazel)
    assert not KeptIncident.objects.exists()
