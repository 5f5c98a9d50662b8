"""A squad's teams for a term: made, added to, put away."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from random import Random

from django.db import transaction
from django.utils.translation import gettext as _

from clubapp.core.audit import record
from clubapp.engine import fairness, limits, words
from clubapp.engine import groups as engine_groups
from clubapp.games.actions.making import seed_of
from clubapp.games.models import Term
from clubapp.games.term import children_of
from clubapp.games.trouble import RefusedError
from clubapp.people.models import Athlete, Squad, User
from clubapp.results import likely as results_likely

SPEED = "speed_s"


@dataclass(frozen=True)
class Wanted:
    begins: date
    ends: date
    teams: int


def begin_term(*, squad: Squad, wanted: Wanted, by: User, seed: int | None = None) -> Term:
    """Equal teams by likely speed and age; they take the place of an earlier term's."""
    children = children_of(squad)
    if len(children) < 2 * wanted.teams:
        raise RefusedError(_("Two children a team at least: take fewer teams."))
    teams = _teams(squad, children, wanted, seed_of(seed))
    return _kept(squad, wanted, teams, by)


def _teams(squad: Squad, children: list[Athlete], wanted: Wanted, seed: int) -> list[list[str]]:
    problem = engine_groups.Problem(
        athletes=tuple(sorted(_athletes(squad, children, wanted.begins), key=lambda one: one.id)),
        on=wanted.begins,
        groups=wanted.teams,
        balance=(fairness.Attribute(SPEED), fairness.Attribute(fairness.AGE)),
    )
    answer = engine_groups.solve(problem, limit=limits.QUICK, seed=seed).answer
    assert answer is not None  # there are no rules to break
    teams = [list(team) for team in answer.groups]
    Random(f"term {seed}").shuffle(teams)
    return teams


def _athletes(squad: Squad, children: list[Athlete], on: date) -> list[words.Athlete]:
    model = results_likely.likely(squad.club_id, on)
    found = []
    for child in children:
        known = model is not None and child.pk in model.tested
        speed = {SPEED: model.of(child.pk, model.speed_test).median_s} if model is not None and known else {}
        found.append(words.Athlete(str(child.pk), speed, born=child.born))
    return found


@transaction.atomic
def _kept(squad: Squad, wanted: Wanted, teams: list[list[str]], by: User) -> Term:
    columns = {"begins": wanted.begins, "ends": wanted.ends, "teams": teams, "by": by}
    term, _made = Term.objects.update_or_create(squad=squad, defaults=columns)
    record(club_id=squad.club_id, user_id=by.pk, verb="began term points", kind="squad", about=squad.pk)
    return term


@transaction.atomic
def join_term(*, squad: Squad, by: User) -> Term:
    """Whoever came to the squad since, each into a team that has fewest; nobody else moves."""
    term = Term.objects.select_for_update().filter(squad=squad).first()
    if term is None:
        raise RefusedError(_("Term points are off."))
    placed = {child for team in term.teams for child in team}
    for child in sorted(str(one.pk) for one in children_of(squad)):
        if child not in placed:
            min(term.teams, key=len).append(child)
    term.save(update_fields=["teams"])
    record(club_id=squad.club_id, user_id=by.pk, verb="added to term points", kind="squad", about=squad.pk)
    return term


@transaction.atomic
def end_term(*, squad: Squad, by: User) -> None:
    """Off again. What they were reckoned from stays where it is."""
    if Term.objects.filter(squad=squad).delete()[0]:
        record(club_id=squad.club_id, user_id=by.pk, verb="ended term points", kind="squad", about=squad.pk)
