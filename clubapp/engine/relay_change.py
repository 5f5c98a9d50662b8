"""Teams that are made already, and one child more or less: nobody changes teams, who fills a leg runs twice by turn."""

from __future__ import annotations

from collections.abc import Iterator

from clubapp.engine.relay_legs import rested
from clubapp.engine.relay_problem import Answer, Problem, totals, turn

Team = tuple[str, ...]


def joined(problem: Problem, answer: Answer, child: str) -> Answer | None:
    """problem: with the child. It takes a leg of somebody who runs twice; where nobody does, one team has a leg more
    and in each of the others somebody runs twice. None: in some team nobody may.
    """
    ways = [way for way in (*_for_a_second_leg(answer, child), *_one_leg_more(problem, answer, child)) if way]
    if not ways:
        return None
    short = [way for way in ways if len(way.teams[0]) == len(answer.teams[0])]
    return min(short or ways, key=lambda way: (_broken(problem, way, child), _spread(problem, way), way.teams))


def left(problem: Problem, answer: Answer, child: str) -> Answer | None:
    """problem: without the child. Its legs are run by others of its team; None: nobody there may."""
    teams = list(answer.teams)
    at = next(place for place, team in enumerate(teams) if child in team)
    team = [one for one in teams[at] if one != child]
    for _ in range(len(teams[at]) - len(team)):
        runner = _next(problem, team)
        if runner is None:
            return None
        place = next(place for place, one in enumerate(teams[at]) if one == child)
        team = [*team[:place], runner, *team[place:]]
    teams[at] = rested(team)
    return Answer(tuple(teams))


def _next(problem: Problem, team: list[str] | Team) -> str | None:
    """Whose turn it is in a team to run twice."""
    able = sorted(one for one in set(team) if one not in problem.once and list(team).count(one) == 1)
    return min(able, key=lambda one: turn(problem, one), default=None)


def _for_a_second_leg(answer: Answer, child: str) -> Iterator[Answer]:
    for at, team in enumerate(answer.teams):
        for twice in {one for one in team if team.count(one) > 1}:
            place = len(team) - 1 - team[::-1].index(twice)
            yield _with(answer, at, (*team[:place], child, *team[place + 1 :]))


def _one_leg_more(problem: Problem, answer: Answer, child: str) -> Iterator[Answer | None]:
    for at in range(len(answer.teams)):
        more = [child if other == at else _next(problem, team) for other, team in enumerate(answer.teams)]
        legs = [rested([*team, one]) for team, one in zip(answer.teams, more, strict=True) if one is not None]
        yield Answer(tuple(legs)) if len(legs) == len(answer.teams) else None


def _with(answer: Answer, at: int, team: Team) -> Answer:
    return Answer((*answer.teams[:at], rested(list(team)), *answer.teams[at + 1 :]))


def _broken(problem: Problem, answer: Answer, child: str) -> int:
    """Pairs who should be apart and come together by the child."""
    team = next(team for team in answer.teams if child in team)
    return sum(child in pair and pair <= set(team) for pair in problem.apart)


def _spread(problem: Problem, answer: Answer) -> int:
    found = totals(problem, answer)
    return max(found) - min(found)
