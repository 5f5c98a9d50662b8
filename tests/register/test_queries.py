"""What other rooms read from the register."""

from __future__ import annotations

from datetime import timedelta

from django.urls import reverse

from clubapp.people.actions import erase_athlete, export_athlete
from clubapp.people.models import Athlete
from clubapp.register import queries, roster
from clubapp.register.models import Mark
from tests.cast import Cast, make_session
from tests.register.field import say


def past(cast: Cast, weeks: int) -> None:
    """A past session as the current one of the cast."""
    session = make_session(cast.club, cast.squad)
    session.date -= timedelta(weeks=weeks)
    session.save()
    object.__setattr__(cast, "session", session)


def test_here_is_here_easy_and_late(cast: Cast) -> None:
    for child, kind in zip(cast.athletes, ("here", "easy", "late", "left", "absent", "told"), strict=True):
        say(cast, child, kind, leave_out=("sprints",) if kind == "easy" else ())
    assert queries.here_ids(cast.session.pk) == sorted(child.pk for child in cast.athletes[:3])
    assert queries.easy(cast.session.pk) == {cast.athletes[1].pk: ["sprints"]}


def test_a_first_timer_until_the_third_attendance(cast: Cast) -> None:
    today = cast.session.date
    ada = cast.ada
    for visits in range(4):
        assert (ada.pk in queries.first_timers([ada.pk], before=today)) == (visits < 3)
        past(cast, weeks=visits + 1)
        say(cast, ada, "left" if visits == 1 else "here", with_whom="Rob" if visits == 1 else "")
    assert ada.pk not in queries.first_timers(cast.club, before=today)


def test_absence_undone_marks_and_today_do_not_count_as_visits(cast: Cast) -> None:
    today = cast.session.date
    Athlete.objects.update(sessions_before=2)
    say(cast, cast.ada, "here")
    past(cast, weeks=1)
    say(cast, cast.ada, "absent")
    past(cast, weeks=2)
    say(cast, cast.ada, "here")
    say(cast, cast.ada, "cleared")
    assert cast.ada.pk in queries.first_timers(cast.club, before=today)


def test_the_column_says_yes_or_no(cast: Cast) -> None:
    assert roster.check("Yes") is True
    assert roster.check("no") is False
    current = roster.COLUMN.current([child.pk for child in cast.athletes])
    assert set(current.values()) == {"yes"}


def test_the_column_writes_and_takes_back(cast: Cast) -> None:
    ids = [child.pk for child in cast.athletes]
    written = roster.COLUMN.write(cast.club.pk, {ids[0]: False, ids[1]: True}, cast.session.date)
    assert roster.COLUMN.current(ids)[ids[0]] == "no"
    assert roster.COLUMN.current(ids)[ids[1]] == "yes"
    roster.COLUMN.undo(written)
    assert set(roster.COLUMN.current(ids).values()) == {"yes"}


def test_taking_back_leaves_a_count_corrected_since(cast: Cast) -> None:
    written = roster.COLUMN.write(cast.club.pk, {cast.ada.pk: False}, cast.session.date)
    Athlete.objects.filter(pk=cast.ada.pk).update(sessions_before=9)
    roster.COLUMN.undo(written)
    assert Athlete.objects.get(pk=cast.ada.pk).sessions_before == 9


def test_the_column_never_touches_another_club(cast: Cast) -> None:
    zed = cast.other_squad.athletes.get()
    roster.COLUMN.write(cast.club.pk, {zed.pk: False}, cast.session.date)
    assert Athlete.objects.get(pk=zed.pk).sessions_before == 0


def test_a_childs_marks_are_exported_and_erased(cast: Cast) -> None:
    say(cast, cast.ada, "left", with_whom="Uncle Rob")
    say(cast, cast.athletes[1], "here")
    kept = export_athlete(athlete=cast.ada, by=cast.hazel)["register"]["marks"]
    assert [row["mark"] for row in kept] == ["gone"]
    assert not {"with_whom", "by"} & kept[0].keys()  # other people are left out
    erase_athlete(athlete=cast.ada, by=cast.hazel)
    assert [mark.athlete for mark in Mark.objects.all()] == [cast.athletes[1]]
    page = cast.client(cast.hazel).get(reverse("register:register", args=[cast.session.pk])).content.decode()
    assert "5 children on the list" in page


def test_the_export_of_a_child_never_marked_is_empty(cast: Cast) -> None:
    assert not any(queries.export_child(cast.ada.pk).values())
