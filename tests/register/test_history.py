"""Who came when: a child's sessions, a session's marks, a term as page and file, and whom to ask after."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from datetime import date, timedelta

from clubapp.core.models import AuditLog
from clubapp.people.models import Guardian
from clubapp.planning.models import Session
from clubapp.register import attendance
from clubapp.register.attendance import Term
from tests.cast import Cast, make_child, make_session
from tests.register.field import only_those_who_work_here, say

TERM, ASK = "/register/term/", "/register/ask-after/"


def held(cast: Cast, weeks_ago: int) -> Session:
    """A session of the squad so many weeks ago."""
    session = make_session(cast.club, cast.squad)
    session.date = cast.club.today() - timedelta(weeks=weeks_ago)
    session.save()
    return session


def shown(cast: Cast, path: str) -> str:
    return cast.client(cast.hazel).get(path).content.decode()


def test_a_term_counts_what_was_marked_and_takes_no_silence_for_an_absence(cast: Cast) -> None:
    ada, bo, cleo, dev, *_rest = cast.athletes
    first, second = held(cast, 2), held(cast, 1)
    for session in (first, second):
        say(cast, ada, "here", session=session)
    say(cast, bo, "late", session=first)
    say(cast, bo, "absent", session=second)
    say(cast, cleo, "absent", session=first)
    say(cast, cleo, "cleared", session=first)
    dev.joined_on = second.date
    dev.save()
    term = Term(cast.club, first.date, second.date)
    lines = {line.child.given_name: line for line in attendance.lines(term)}
    assert (lines["Ada"].sessions, lines["Ada"].came, lines["Ada"].unmarked) == (2, 2, 0)
    assert (lines["Bo"].came, lines["Bo"].late, lines["Bo"].absent) == (1, 1, 1)
    assert (lines["Cleo"].came, lines["Cleo"].absent, lines["Cleo"].unmarked) == (0, 0, 2)
    assert (lines["Dev"].sessions, lines["Dev"].unmarked) == (1, 1)
    assert "Zed" not in lines
    assert list(lines) == sorted(lines)


def test_a_session_called_off_counts_for_nobody(cast: Cast) -> None:
    session = held(cast, 1)
    say(cast, cast.ada, "here", session=session)
    session.called_off = True
    session.save()
    assert attendance.lines(Term(cast.club, session.date, session.date)) == []
    assert attendance.days_seen(cast.club) == {}


def test_page_and_files_hold_the_same_and_no_cell_runs(cast: Cast) -> None:
    session = held(cast, 1)
    cast.session.date += timedelta(days=2)  # one that has not begun is nobody's absence
    cast.session.save()
    risky = make_child(cast.club, cast.squad, "=1+1")
    for child in (*cast.athletes, risky):
        say(cast, child, "here", session=session)
    client = cast.client(cast.hazel)
    assert "=1+1 Reed" in client.get(TERM).content.decode()
    answer = client.get(TERM, {"file": "csv"})
    rows = list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))
    assert len(rows) == len(cast.athletes) + 2
    assert ["'=1+1 Reed", "1", "1", "0", "0", "0", "0", "0"] in rows
    answer = client.get(TERM, {"file": "xlsx"})
    assert answer["Content-Disposition"] == 'attachment; filename="attendance.xlsx"'
    with zipfile.ZipFile(io.BytesIO(answer.content)) as book:
        sheet = book.read("xl/worksheets/sheet1.xml").decode()
        words = book.read("xl/sharedStrings.xml").decode()
    assert "<f>" not in sheet
    assert re.findall(r"<t[^>]*>([^<]*)</t>", words).count("=1+1 Reed") == 1
    assert sheet.count("<row ") == len(rows)


def test_days_the_wrong_way_round_are_named_and_keep_what_was_typed(cast: Cast) -> None:
    html = shown(cast, f"{TERM}?since=2026-05-09&until=2026-05-02")
    assert "The last day is before the first." in html
    assert 'value="2026-05-09"' in html
    for nonsense in ("since=yesterday", "squad=nobody", "until=9999-99-99", f"squad={cast.other_squad.pk}"):
        answer = cast.client(cast.hazel).get(f"{TERM}?{nonsense}&file=csv")
        assert (answer.status_code, answer["Content-Type"]) == (200, "text/html; charset=utf-8"), nonsense


def test_a_childs_sessions_are_told_in_words(cast: Cast) -> None:
    say(cast, cast.ada, "late", session=held(cast, 1))
    held(cast, 2)
    html = cast.client(cast.finn).get(f"/register/child/{cast.ada.pk}/").content.decode()
    assert html.count("here, came late") == 1
    assert html.count("not marked") == 2  # two weeks ago, and today


def test_the_log_shows_what_was_overruled_and_who_said_it(cast: Cast) -> None:
    say(cast, cast.ada, "absent")
    say(cast, cast.ada, "here")
    html = cast.client(cast.finn).get(f"/register/{cast.session.pk}/log/").content.decode()
    table = html[html.index("<tbody>") :]
    assert table.index("not here") < table.index(">here<")
    assert table.count("Hazel") == 2


def test_who_was_not_seen_for_three_weeks_though_the_squad_met(cast: Cast) -> None:
    ada, bo, cleo, dev, *_rest = cast.athletes
    for child in (ada, bo, dev):
        say(cast, child, "here", session=held(cast, 3))
    say(cast, bo, "here", session=held(cast, 1))
    dev.left_on = date(2026, 1, 1)
    dev.save()
    away = attendance.not_seen(cast.club, attendance.days_seen(cast.club), cast.club.today())
    assert [child.given_name for child, _day in away] == ["Ada"]
    Guardian.objects.filter(name="Greta").update(phone="+44 7700 900123")
    html = shown(cast, ASK)
    assert 'href="sms:+447700900123?body=Ada%20was%20not%20at' in html
    assert {row.about for row in AuditLog.objects.filter(kind="contacts")} >= {ada.pk}
    assert cleo.full_name not in html


def test_a_squad_that_did_not_meet_misses_nobody(cast: Cast) -> None:
    say(cast, cast.ada, "here", session=held(cast, 5))
    assert attendance.not_seen(cast.club, attendance.days_seen(cast.club), cast.club.today()) == []


def test_who_is_new_is_asked_how_it_was(cast: Cast) -> None:
    say(cast, cast.ada, "here", session=held(cast, 1))
    say(cast, cast.athletes[1], "here", session=held(cast, 4))
    new = attendance.newcomers(cast.club, attendance.days_seen(cast.club), cast.club.today())
    assert [child.given_name for child, _day in new] == ["Ada"]


def test_access(cast: Cast) -> None:
    for path in (TERM, ASK):
        for user in (cast.sal, cast.greta, cast.wanda, cast.finn):
            assert cast.client(user).get(path).status_code == 404
        assert "Reed" not in cast.client(cast.olga).get(path).content.decode().replace("Zed Reed", "")
    only_those_who_work_here(cast, f"/register/child/{cast.ada.pk}/", finn=True)
    only_those_who_work_here(cast, f"/register/{cast.session.pk}/log/", finn=True)
