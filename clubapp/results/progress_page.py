"""What the pages on progress show: for the coach everything, for a family its own child's line and kind words."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from django.db.models import Count

from clubapp.engine.progress import Verdict
from clubapp.people import queries as people
from clubapp.people.models import Athlete, Club, Squad
from clubapp.results import measures, progress, progress_beside, progress_words
from clubapp.results.models import Trial
from clubapp.results.progress import Line
from clubapp.results.progress_drawing import Asked, Drawing, Spot, draw

RECENT = timedelta(weeks=12)  # a term; who was tested before that is due again
NAME, CHANGE, RESULT = "name", "change", "result"


@dataclass(frozen=True)
class Row:
    """A line of the table beside the picture; the newest stands first."""

    on: date
    best: str
    mean: str
    attempts: int
    taken: str
    odd: bool


@dataclass(frozen=True)
class Shown:
    """One test of one child."""

    test: Trial
    verdict: str
    why: str
    drawing: Drawing
    axis: tuple[tuple[float, str], ...]  # where on the picture, and the value there
    rows: tuple[Row, ...]
    best: str = ""
    best_on: date | None = None
    season: str = ""
    figures: tuple[tuple[str, str], ...] = ()
    said_beside: str = ""
    has_odd: bool = False


def for_coach(child: Athlete, *, published: bool) -> list[Shown]:
    """Every test the child has a result on; published values only if they were asked for."""
    return [_for_coach(line, child, published=published) for line in progress.lines_of(child.pk, child.club)]


def _for_coach(line: Line, child: Athlete, *, published: bool) -> Shown:
    days = [point.on for point in line.points]
    beside = progress_beside.beside(line.trial, child, days) if published else None
    asked = Asked(_spots(line), not line.trial.less_is_better, line.said.band, beside.lines if beside else ())
    figures, said = tuple(progress_words.figures(line)), beside.said if beside else ""
    return _shown(line, asked, (progress_words.verdict(line), progress_words.why(line)), figures, said)


def for_family(child: Athlete) -> list[Shown]:
    """The line without band or figures: nothing on it says "worse"."""
    return [
        _shown(
            line,
            Asked(_spots(line), not line.trial.less_is_better),
            (progress_words.family_verdict(line), progress_words.family_why(line)),
        )
        for line in progress.lines_of(child.pk, child.club)
    ]


def _shown(
    line: Line, asked: Asked, words: tuple[str, str], figures: tuple[tuple[str, str], ...] = (), beside: str = ""
) -> Shown:
    drawing, best, season = draw(asked), line.bests.ever, line.bests.season
    return Shown(
        test=line.trial,
        verdict=words[0],
        why=words[1],
        drawing=drawing,
        axis=tuple((y, measures.plain(round(value), line.trial.unit)) for y, value in drawing.across),
        rows=tuple(_rows(line)),
        best=f"{best.text} {line.trial.unit}" if best else "",
        best_on=best.on if best else None,
        season=f"{season.text} {line.trial.unit}" if season else "",
        figures=figures,
        said_beside=beside,
        has_odd=any(not point.alike for point in line.points),
    )


def _spots(line: Line) -> list[Spot]:
    """The first, the last and the best day have their value written beside them."""
    best = line.bests.ever
    ends = (line.alike[0], line.alike[-1])
    return [
        Spot(
            on=point.on,
            value=point.mean,
            odd=not point.alike,
            best=best in point.runs,
            label=progress_words.value(point.mean, line.trial) if point in ends or best in point.runs else "",
        )
        for point in line.points
    ]


def _rows(line: Line) -> Iterable[Row]:
    for point in reversed(line.points):
        yield Row(
            on=point.on,
            best=point.best.text,
            mean=progress_words.value(point.mean, line.trial),
            attempts=len(point.runs),
            taken=progress_words.taken(point),
            odd=not point.alike,
        )


# --- the squad -------------------------------------------------------------------------------------------------------


@dataclass(frozen=True)
class Member:
    """A child with a result on the test. due: not tested for a term."""

    child: Athlete
    line: Line
    newest: str
    changed: str
    verdict: str
    due: bool


@dataclass(frozen=True)
class SquadPage:
    """tests: what may be chosen; trial: the one shown. members: by name unless the coach asked for an order."""

    tests: tuple[Trial, ...]
    trial: Trial | None
    members: tuple[Member, ...]
    untested: tuple[Athlete, ...]
    order: str = NAME

    @property
    def ready(self) -> list[Member]:
        return [member for member in self.by_name if member.line.ready]

    @property
    def by_name(self) -> list[Member]:
        return sorted(self.members, key=lambda member: _name(member.child))

    @property
    def better(self) -> int:
        return sum(member.line.said.verdict is Verdict.BETTER for member in self.members)


def tests_with_results(club: Club) -> tuple[Trial, ...]:
    """By name; each with the number of its results as `count`."""
    rows = Trial.objects.filter(club=club, results__isnull=False).annotate(count=Count("results"))
    return tuple(rows.order_by("name", "code"))


def squad_page(club: Club, squad: Squad | None, trial: Trial | None, order: str = NAME) -> SquadPage:
    """Change since the first test, who is ready for more, who was not tested."""
    tests = tests_with_results(club)
    trial = trial or max(tests, key=lambda test: test.count, default=None)  # type: ignore[attr-defined]
    children = list(people.roster(club, squad=squad))
    if trial is None:
        return SquadPage(tests, None, (), tuple(children), order)
    lines = progress.lines_on(trial, [child.pk for child in children])
    members = [_member(child, lines[child.pk], club.today()) for child in children if child.pk in lines]
    untested = tuple(child for child in children if child.pk not in lines)
    return SquadPage(tests, trial, tuple(sorted(members, key=_key(order))), untested, order)


def _member(child: Athlete, line: Line, today: date) -> Member:
    first, last = line.alike[0], line.alike[-1]
    change = last.mean - first.mean
    return Member(
        child,
        line,
        newest=progress_words.value(line.newest.mean, line.trial),
        changed=progress_words.changed(change, line.trial) if len(line.alike) > 1 else "",
        verdict=progress_words.verdict(line),
        due=line.newest.on < today - RECENT,
    )


def _name(child: Athlete) -> tuple[str, str, str]:
    return child.given_name.casefold(), child.family_name.casefold(), str(child.pk)


def _key(order: str) -> Callable[[Member], tuple[float, tuple[str, str, str]]]:
    """By name; or, for the coach who asks, by change or by the newest result, the best first."""

    def key(member: Member) -> tuple[float, tuple[str, str, str]]:
        line = member.line
        if order == CHANGE:
            return (-(line.gain if line.gain is not None else float("-inf")), _name(member.child))
        if order == RESULT:
            mean = line.newest.mean
            return (mean if line.trial.less_is_better else -mean, _name(member.child))
        return 0.0, _name(member.child)

    return key
