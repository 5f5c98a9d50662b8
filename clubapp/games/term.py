"""Points of a term: turning up, bettering one's own best, and results of teams. Team totals; never speed by itself.

Each part is out of a hundred: what the team's children did of all they could do. So neither a large team nor a quick
one is ahead, and who had nothing to win, being told of as absent or never timed before, costs nothing. Our own rule.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from django.utils.translation import gettext as _

from clubapp.core.templatetags.bibs import bib_name
from clubapp.engine.words import bib_names
from clubapp.games import queries
from clubapp.games.kinds import known_kind
from clubapp.games.models import Game, Term
from clubapp.people.models import Athlete, Squad
from clubapp.people.queries import short_names
from clubapp.planning.models import Session
from clubapp.register import queries as register
from clubapp.register.models import Mark
from clubapp.results import queries as results
from clubapp.results.progress import conditions

PARTS = ("turned_up", "bettered", "won")


@dataclass(frozen=True)
class Share:
    """So much of so much that could be had."""

    got: float = 0
    of: int = 0

    def __add__(self, other: Share) -> Share:
        return Share(self.got + other.got, self.of + other.of)

    @property
    def hundredths(self) -> float | None:
        """None where nothing could be had."""
        return 100 * self.got / self.of if self.of else None


Shares = Mapping[str, Share]  # by child


@dataclass(frozen=True)
class TeamRow:
    """parts: points out of a hundred each, in the order of PARTS; None where nobody of any team could have some."""

    bib: str
    names: tuple[str, ...]
    parts: tuple[int | None, ...]

    @property
    def total(self) -> int:
        return sum(part or 0 for part in self.parts)


@dataclass(frozen=True)
class ChildRow:
    """For the head coach alone."""

    name: str
    team: str
    parts: tuple[Share, ...]

    @property
    def total(self) -> float:
        return sum(part.hundredths or 0 for part in self.parts)


@dataclass(frozen=True)
class Page:
    squad: Squad
    term: Term | None
    teams: tuple[TeamRow, ...]
    left_over: tuple[str, ...]


def term_of(squad: Squad) -> Term | None:
    return Term.objects.filter(squad=squad).first()


def children_of(squad: Squad) -> list[Athlete]:
    return list(squad.athletes.filter(left_on=None))


def page(squad: Squad) -> Page:
    term = term_of(squad)
    if term is None:
        return Page(squad, None, (), ())
    children = children_of(squad)
    names = short_names(squad.athletes.all())
    placed = {child for team in term.teams for child in team}
    over = sorted((names[one.pk] for one in children if str(one.pk) not in placed), key=str.casefold)
    return Page(squad, term, tuple(team_rows(term, names)), tuple(over))


def team_rows(term: Term, names: Mapping[UUID, str]) -> Iterable[TeamRow]:
    parts = [points(shares, term.teams) for shares in shares_of(term)]
    for at, (bib, team) in enumerate(zip(bib_names(len(term.teams)), term.teams, strict=True)):
        called = sorted((names[UUID(child)] for child in team if UUID(child) in names), key=str.casefold)
        yield TeamRow(bib, tuple(called), tuple(part[at] for part in parts))


def points(shares: Shares, teams: Iterable[Iterable[str]]) -> list[int | None]:
    """Each team's part. A team of which nobody could have anything gets what the others have in the mean."""
    found = [sum((shares[child] for child in team if child in shares), Share()).hundredths for team in teams]
    known = [one for one in found if one is not None]
    if not known:
        return [None] * len(found)
    middle = sum(known) / len(known)
    return [round(middle if one is None else one) for one in found]


def child_rows(term: Term) -> list[ChildRow]:
    """In order: this is the one page that has it."""
    names, parts = short_names(term.squad.athletes.all()), shares_of(term)
    rows = [
        ChildRow(names[UUID(child)], bib_name(bib), tuple(shares.get(child, Share()) for shares in parts))
        for bib, team in zip(bib_names(len(term.teams)), term.teams, strict=True)
        for child in team
        if UUID(child) in names
    ]
    return sorted(rows, key=lambda row: (-row.total, row.name.casefold()))


def shares_of(term: Term) -> tuple[Shares, Shares, Shares]:
    """In the order of PARTS."""
    wanted = {child for team in term.teams for child in team}
    sessions = Session.objects.filter(squad=term.squad_id, date__range=(term.begins, term.ends), called_off=False)
    return turned_up(sessions, wanted), bettered(term, wanted), won(sessions, wanted)


def turned_up(sessions: Iterable[Session], wanted: set[str]) -> Shares:
    """Here, of here and absent. Who told us, and of whom nobody said anything, is neither."""
    found: dict[str, Share] = defaultdict(Share)
    for session in sessions:
        for child, mark in register.current_marks(session.pk).items():
            if str(child) in wanted and (mark.here or mark.kind in (Mark.Kind.LEFT, Mark.Kind.ABSENT)):
                found[str(child)] += Share(int(mark.kind != Mark.Kind.ABSENT), 1)
    return found


def bettered(term: Term, wanted: set[str]) -> Shares:
    """Whether a child bettered its own best from before the term, on any test, on alike ground and timed alike."""
    lines: dict[tuple[object, ...], list[results.Run]] = defaultdict(list)
    for run in results.runs_until(map(UUID, sorted(wanted)), term.ends):
        lines[run.athlete_id, run.trial.pk, *conditions(run)].append(run)
    found: dict[str, Share] = {}
    for (child, *_of), runs in lines.items():
        before = results.best(run for run in runs if run.on < term.begins)
        since = results.best(run for run in runs if run.on >= term.begins)
        if before is not None and since is not None:
            better = (since.ms < before.ms) == since.trial.less_is_better and since.ms != before.ms
            found[str(child)] = Share(max(int(better), found.get(str(child), Share()).got), 1)
    return found


def won(sessions: Iterable[Session], wanted: set[str]) -> Shares:
    """For each child of a team game the share of the other teams that its team left behind, equals for half."""
    found: dict[str, Share] = defaultdict(Share)
    begun = Game.objects.filter(session__in=list(sessions), state__in=(Game.State.RUNNING, Game.State.OVER))
    for game in begun:
        kind = known_kind(game.kind)
        teams = kind.sums(queries.view_of(game)) if kind.sums else []
        for at, (team, own) in enumerate(teams):
            others = [points for place, (_ids, points) in enumerate(teams) if place != at]
            share = sum((own > other) + (own == other) / 2 for other in others) / len(others)
            for child in wanted & set(team):
                found[child] += Share(share, 1)
    return found


def totals(squad: Squad, today: date) -> list[TeamRow]:
    """For a helper: what each team came to, by colour and without a name; nothing where term points are off."""
    term = Term.objects.filter(squad=squad, begins__lte=today).first()
    return list(team_rows(term, {})) if term else []


def told(athlete: Athlete, today: date) -> list[str]:
    """For a guardian: the child's team, and the totals of all teams in the order of their colours."""
    lines = []
    for term in Term.objects.filter(squad__in=athlete.squads.all(), begins__lte=today).select_related("squad"):
        rows = list(team_rows(term, {}))
        own = next((row for row, team in zip(rows, term.teams, strict=True) if str(athlete.pk) in team), None)
        if own is not None:
            totals = ", ".join(f"{bib_name(row.bib)} {row.total}" for row in rows)
            lines.append(_line(bib_name(own.bib), totals))
    return lines


def _line(team: str, totals: str) -> str:
    return _("Term points: in team %(team)s. %(totals)s.") % {"team": team, "totals": totals}
