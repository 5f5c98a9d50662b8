"""What is taken out comes back unchanged, whatever the names."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from clubapp.people import actions, cells, csvfile
from clubapp.people.models import Athlete, Club, PairRule, Squad, User
from clubapp.people.roster import drafting, exporting
from clubapp.results.actions import add_speeds
from clubapp.results.queries import latest_milliseconds
from tests.cast import ClubFactory, SquadFactory, UserFactory
from tests.strategies import examples

WORDS = st.text(st.characters(codec="utf-8", categories=["L", "M", "N", "P", "S", "Zs", "Cc"]), max_size=12)
NASTY = st.sampled_from(["=1+1", "+44", "-Jo", "@Ada", "'=x", "''-", '"Q"', "a;b", "a,b", "O'Hara", "1/2/2016", "yes"])
NAME = st.one_of(NASTY, WORDS).map(cells.clean)
LABEL = NAME.map(lambda text: cells.clean(text.replace(";", ""))).filter(bool)
CHILD = st.fixed_dictionaries(
    {
        "given_name": NAME.filter(bool),
        "family_name": NAME,
        "known_as": NAME,
        "date_of_birth": st.none() | st.dates(date(2008, 1, 1), date(2020, 12, 31)),
        "birth_year": st.none() | st.integers(2008, 2020),
        "sex": st.sampled_from(["", "f", "m", "x"]),
        "skill": st.none() | st.integers(1, 5),
        "joined_on": st.none() | st.dates(date(2020, 1, 1), date(2025, 12, 31)),
        "roster_id": st.just(""),
    }
)
SPEED = st.none() | st.integers(1, 3_600_000)
CHILDREN = st.lists(st.tuples(CHILD, SPEED, st.booleans()), min_size=1, max_size=5)
RULES = st.lists(st.tuples(st.sampled_from(["together", "apart"]), LABEL, st.integers(0, 4)), max_size=4)


def make(club: Club, squads: list[Squad], children: Any, rules: Any) -> None:
    rows = []
    for number, (fields, speed, second) in enumerate(children):
        details = actions.AthleteDetails(**fields | {"roster_id": f"=r{number}" if second else ""})
        child = actions.make_athlete(club=club, details=details, squads=squads if second else squads[:1])
        rows.append(child)
        if speed:
            add_speeds(club_id=club.pk, milliseconds={child.pk: speed}, on=club.today())
    for kind, label, first in rules:
        if not PairRule.objects.filter(club=club, kind=kind, label=label).exists():
            wish = actions.PairWish(PairRule.Kind(kind), (rows[first % len(rows)], rows[-1]), label=label)
            actions.make_pair_rule(club=club, wish=wish)


def take_in(club: Club, data: bytes, by: User) -> dict[str, int]:
    """The counts of the preview, confirmed."""
    draft = actions.keep_draft(club=club, table=csvfile.read(data), squad=None, by=by)
    actions.set_columns(draft=draft, meanings=draft.columns, order="either")
    seen = drafting.preview_of(draft)
    assert seen.fit, [row.faults for row in seen.rows if row.faults]
    actions.confirm_import(draft=draft, digest=seen.digest, by=by)
    return dict(seen.counts)


@pytest.mark.django_db
@settings(examples(12), suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(children=CHILDREN, rules=RULES)
def test_the_export_imports_back_unchanged(children: Any, rules: Any) -> None:
    club, coach = ClubFactory(), UserFactory()
    squads = [SquadFactory(club=club, name=name) for name in ("Saturday", "=Sunday, early")]
    make(club, squads, children, rules)
    first = exporting.roster_file(club)
    counts = take_in(club, first, coach)
    assert counts == {"wrong": 0, "new": 0, "changed": 0, "same": len(children)}
    before = {child.given_name: child for child in Athlete.objects.filter(club=club)}
    Athlete.objects.filter(club=club).delete()
    assert take_in(club, first, coach)["new"] == len(children)
    assert exporting.roster_file(club) == first
    assert {child.given_name for child in Athlete.objects.filter(club=club)} == set(before)


def test_a_spreadsheet_runs_no_cell_of_the_file(db: None) -> None:
    club = ClubFactory()
    details = actions.AthleteDetails(given_name="=HYPERLINK(1)", family_name="@Reed", known_as="-Jo")
    actions.make_athlete(club=club, details=details)
    text = exporting.roster_file(club).decode("utf-8-sig")
    cells_ = text.splitlines()[1].split(",")
    assert not any(cell.startswith(("=", "+", "-", "@")) for cell in cells_)
    assert {"'=HYPERLINK(1)", "'@Reed", "'-Jo"} <= set(cells_)


def test_speed_is_exact_to_the_millisecond(db: None) -> None:
    club, coach = ClubFactory(), UserFactory()
    take_in(club, b"given_name,speed_s\r\nIvy,7.4215\r\nJo,7\r\nKit,0.001\r\n", coach)
    ids = {child.given_name: child.pk for child in Athlete.objects.filter(club=club)}
    found = latest_milliseconds(ids.values())
    assert {name: found[pk] for name, pk in ids.items()} == {"Ivy": 7422, "Jo": 7000, "Kit": 1}
