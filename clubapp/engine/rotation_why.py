"""The rules of a rotation one by one, and the smallest set of them that clashes."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from clubapp.engine import rotation_model as model
from clubapp.engine.cpsat import Proof
from clubapp.engine.limits import QUICK
from clubapp.engine.outcome import Reason
from clubapp.engine.rotation_problem import Problem
from clubapp.engine.rotation_room import room_of, totals
from clubapp.engine.whynot import smallest_clash


def reasons(problem: Problem) -> tuple[Reason, ...]:
    """Every rule that can be taken away, those a coach gives up first at the end."""
    return (
        *_rest_reasons(problem),
        *_station_reasons(problem),
        *_supply_reasons(problem),
        *_closed_reasons(problem),
        *_hard_reasons(problem),
        *_round_reasons(problem),
    )


def _rest_reasons(problem: Problem) -> Iterator[Reason]:
    if not problem.may_rest:
        yield Reason("rest", "No group rests while there is room for it.", (), "Let groups rest in turn.")


def _station_reasons(problem: Problem) -> Iterator[Reason]:
    for station in problem.stations:
        if station.groups_min > 1:
            name, groups = problem.name(station.id), len(problem.groups)
            text = f"{name} needs {station.groups_min} groups at a time, and there are {groups} groups."
            yield Reason("groups_min", text, (station.id,), f"Let one group be alone at {name}.")


def _supply_reasons(problem: Problem) -> Iterator[Reason]:
    for kind, owned in problem.kit_owned.items():
        text = f"There are {owned} {kind} for all stations of a round."
        yield Reason("kit", text, (kind,), f"Find more {kind}.")
    if problem.staffed is not None:
        text = f"There are adults for {problem.staffed} stations at a time."
        yield Reason("staffed", text, (), "Let adults go with the groups.")


def _closed_reasons(problem: Problem) -> Iterator[Reason]:
    for station in problem.stations:
        turns = [str(turn) for turn in problem.future if not problem.is_open(station.id, turn)]
        if turns:
            name, when = problem.name(station.id), "round " + ", ".join(turns)
            yield Reason("closed", f"{name} is closed in {when}.", (station.id,), f"Open {name}.")


def _hard_reasons(problem: Problem) -> Iterator[Reason]:
    if problem.max_hard_run is not None:
        most = problem.max_hard_run
        hard = sum(station.hard for station in problem.stations)
        text = f"A group is at no more than {most} hard stations in a row; {hard} of the stations are hard."
        yield Reason("hard_run", text, (), "Leave out the rule on hard stations in a row.")


def _round_reasons(problem: Problem) -> Iterator[Reason]:
    if len(problem.future) > 1:
        stations = len(problem.stations)
        at = "1 station" if stations == 1 else f"{stations} stations"
        text = f"There are to be {problem.rounds} rounds at {at}, and no group is at a station twice."
        yield Reason("rounds", text, (), "Have fewer rounds.")


def without(problem: Problem, reason: Reason) -> Problem:
    """The problem with one rule taken away: what the way out of a reason does."""
    match reason.code:
        case "rest":
            return replace(problem, may_rest=True)
        case "groups_min":
            stations = (replace(s, groups_min=min(1, s.groups_min)) if s.id in reason.about else s
                        for s in problem.stations)  # fmt: skip
            return replace(problem, stations=tuple(stations))
        case "kit":
            owned = {kind: count for kind, count in problem.kit_owned.items() if kind not in reason.about}
            return replace(problem, kit_owned=owned)
        case "staffed":
            return replace(problem, staffed=None)
        case "closed":
            closed = frozenset(shut for shut in problem.closed if shut[0] not in reason.about)
            return replace(problem, closed=closed)
        case "hard_run":
            return replace(problem, max_hard_run=None)
        case _:
            return replace(problem, rounds=int(reason.about[0]) if reason.about else len(problem.fixed) + 1)


def possible(problem: Problem, seed: int = 0) -> bool:
    """Whether the rules can be kept: by counting where that is enough, else by the solver. In doubt, yes."""
    room = room_of(problem)
    if not problem.may_rest:
        if room.too_many_rounds:
            return False
        count = len(problem.groups)
        turns = zip(problem.future, room.short, strict=True)
        if not room.extra and any(count - short not in totals(problem, turn) for turn, short in turns):
            return False
    return model.run(model.build(problem, room, aims=False), QUICK, seed, None).proof is not Proof.NONE


def clash(problem: Problem, seed: int = 0) -> tuple[Reason, ...]:
    """The smallest set of rules that cannot be kept together; of rounds how many there could be."""
    rules = reasons(problem)

    def clashes(kept: Iterable[int]) -> bool:
        freed = problem
        for at in sorted(set(range(len(rules))) - set(kept)):
            freed = without(freed, rules[at])
        return not possible(freed, seed)

    # To open a station takes away what it allowed, to rest: so a rule found needed may not be when others are gone.
    found, before = tuple(range(len(rules))), None
    while found != before:
        found, before = smallest_clash(found, clashes), found
    return tuple(_told(problem, rules[at], seed) for at in found)


def _told(problem: Problem, reason: Reason, seed: int) -> Reason:
    """The reason; that on rounds with the largest number that would do, if fewer rounds are enough."""
    if reason.code != "rounds":
        return reason
    fewer = range(problem.rounds - 1, len(problem.fixed), -1)
    enough = next((rounds for rounds in fewer if possible(replace(problem, rounds=rounds), seed)), None)
    if enough is None:
        return reason
    way_out = "Make it 1 round." if enough == 1 else f"Make it {enough} rounds."
    return replace(reason, about=(str(enough),), way_out=way_out)
