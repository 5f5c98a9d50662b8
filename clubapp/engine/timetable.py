"""Rounds, change-overs, water and the other parts of the evening, fitted into the minutes there are."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise

from clubapp.engine import limits
from clubapp.engine.limits import Limit, Stopwatch
from clubapp.engine.outcome import Outcome, Reason, Status

STEP_S = 5  # nobody calls out odd seconds
CHANGE_S = 60  # unless the coach says otherwise
LONGEST_WORK_S = 3600


class Kind(StrEnum):
    GATHER = "gather"
    WARM_UP = "warm-up"
    WORK = "work"
    CHANGE = "change"
    WATER = "water"
    GAME = "game"
    COOL_DOWN = "cool-down"


@dataclass(frozen=True)
class Problem:
    """minutes: for everything named here; None = as long as it takes. Seconds are taken up to whole fives.

    rounds: how often work is done. work_s: None = as long as the minutes allow. change_s: None = a minute; a
        change-over is never shorter than its walk.
    walks_m: for each change-over the metres of the group that has farthest to go; may be shorter than there are
        change-overs. walk_m_s: metres a second.
    water_every_s: nobody goes longer than this without a water break of water_s; None = no breaks.
    gather_s, warm_up_s, game_s, cool_down_s: 0 = there is no such part.
    least_work_s: a shorter turn is not worth setting up for.
    Raises ValueError for figures out of range, and where neither minutes nor work_s is given.
    """

    minutes: int | None
    rounds: int
    work_s: int | None = None
    change_s: int | None = None
    walks_m: tuple[float, ...] = ()
    walk_m_s: float = 1.2
    water_every_s: int | None = None
    water_s: int = 120
    gather_s: int = 0
    warm_up_s: int = 0
    game_s: int = 0
    cool_down_s: int = 0
    least_work_s: int = 60

    def __post_init__(self) -> None:
        counts = (self.rounds, self.minutes, self.work_s, self.water_every_s, self.least_work_s)
        if any(count is not None and count < 1 for count in counts) or not 0 < self.walk_m_s < math.inf:
            raise ValueError("rounds, minutes, seconds of work and the speed of walking must be above 0")
        lengths = (self.change_s or 0, self.water_s, self.gather_s, self.warm_up_s, self.game_s, self.cool_down_s)
        if any(not 0 <= length < math.inf for length in (*lengths, *self.walks_m)):
            raise ValueError("lengths and walks must be numbers from 0 up")
        if self.minutes is None and self.work_s is None:
            raise ValueError("a timetable needs either the minutes there are or the seconds of a turn")

    @property
    def available_s(self) -> int | None:
        return None if self.minutes is None else 60 * self.minutes

    def walk_s(self, turn: int) -> int:
        """Seconds the longest walk after a round takes; 0 where no place is known."""
        metres = self.walks_m[turn - 1] if turn <= len(self.walks_m) else 0.0
        return _up(metres / self.walk_m_s)


@dataclass(frozen=True)
class Entry:
    """One part. round: of work its number, of a change-over or water after it the round just worked; else None."""

    kind: Kind
    seconds: int
    round: int | None = None


@dataclass(frozen=True)
class Answer:
    """Parts in the order in which they happen."""

    entries: tuple[Entry, ...]

    @property
    def seconds(self) -> int:
        """From the start of the first part to the end of the last."""
        return sum(entry.seconds for entry in self.entries)

    @property
    def work_s(self) -> int:
        """Seconds of one turn."""
        return next(entry.seconds for entry in self.entries if entry.kind is Kind.WORK)


def change_seconds(problem: Problem, turn: int) -> int:
    """The change-over after a round: what the coach asked, but never shorter than its longest walk."""
    wish = CHANGE_S if problem.change_s is None else problem.change_s
    return max(_up(wish), problem.walk_s(turn))


def plain(problem: Problem, work_s: int) -> Answer:
    """All parts one after the other with turns of a given length, and water as late as may be."""
    entries: list[Entry] = []
    dry = 0
    every = problem.water_every_s or math.inf
    for part in _parts(problem, work_s):
        length = sum(entry.seconds for entry in part)
        if entries and dry + length > every:
            entries.append(Entry(Kind.WATER, _up(problem.water_s), entries[-1].round))
            dry = 0
        entries += part
        dry += length
    return Answer(tuple(entries))


def _parts(problem: Problem, work_s: int) -> Iterator[list[Entry]]:
    """Pieces between which water can be drunk: a walk leads straight into the next turn."""
    for kind, seconds in ((Kind.GATHER, problem.gather_s), (Kind.WARM_UP, problem.warm_up_s)):
        yield from _part(kind, seconds)
    yield [Entry(Kind.WORK, work_s, 1)]
    for turn in range(1, problem.rounds):
        yield [Entry(Kind.CHANGE, change_seconds(problem, turn), turn), Entry(Kind.WORK, work_s, turn + 1)]
    for kind, seconds in ((Kind.GAME, problem.game_s), (Kind.COOL_DOWN, problem.cool_down_s)):
        yield from _part(kind, seconds)


def _part(kind: Kind, seconds: int) -> Iterator[list[Entry]]:
    if seconds:
        yield [Entry(kind, _up(seconds))]


def solve(
    problem: Problem, *, limit: Limit = limits.DEFAULT, seed: int = 0, start: Answer | None = None
) -> Outcome[Answer]:
    """The longest turns that fit, or the turns asked for; proven by trying each length from the longest down."""
    watch = Stopwatch()
    for work_s in _lengths(problem):
        answer = plain(problem, work_s)
        if not violations(problem, answer):
            worth = score(problem, answer)
            return Outcome(answer, Status.BEST, worth, worth, watch.seconds)
    return Outcome(None, Status.IMPOSSIBLE, math.inf, math.inf, watch.seconds, _reasons(problem))


def _lengths(problem: Problem) -> range:
    """Lengths of a turn to try, the longest first."""
    if problem.work_s is not None:
        return range(_up(problem.work_s), 0, -_up(problem.work_s))
    share = (problem.available_s or 0) // problem.rounds // STEP_S * STEP_S
    return range(min(share, LONGEST_WORK_S), _up(problem.least_work_s) - 1, -STEP_S)


def score(problem: Problem, answer: Answer) -> float:
    """Seconds in which nobody works: of the minutes there are, or else of the whole."""
    whole = answer.seconds if problem.available_s is None else problem.available_s
    return float(whole - sum(entry.seconds for entry in answer.entries if entry.kind is Kind.WORK))


def violations(problem: Problem, answer: Answer) -> list[str]:
    """What is wrong with a timetable, in words; empty when it keeps everything."""
    odd = [f"The {entry.kind} of {entry.seconds} s is not whole fives." for entry in answer.entries if _odd(entry)]
    return [
        *odd,
        *_too_long(problem, answer),
        *_wrong_turns(problem, answer),
        *_short_walks(problem, answer),
        *_thirst(problem, answer),
    ]


def _odd(entry: Entry) -> bool:
    return entry.seconds % STEP_S != 0 or entry.seconds < 0


def _too_long(problem: Problem, answer: Answer) -> Iterator[str]:
    if problem.available_s is not None and answer.seconds > problem.available_s:
        yield f"It takes {clock(answer.seconds)}; there are {clock(problem.available_s)}."


def _wrong_turns(problem: Problem, answer: Answer) -> Iterator[str]:
    turns = [entry for entry in answer.entries if entry.kind is Kind.WORK]
    if [entry.round for entry in turns] != list(range(1, problem.rounds + 1)):
        yield f"There are to be {problem.rounds} rounds, one after the other."
    if len({entry.seconds for entry in turns}) > 1:
        yield "The rounds are not equally long."
    if problem.work_s is not None and any(entry.seconds != _up(problem.work_s) for entry in turns):
        yield f"A round is to take {clock(_up(problem.work_s))}."
    between = [entry.kind for entry in answer.entries if entry.kind in (Kind.WORK, Kind.CHANGE)]
    if any(a is b for a, b in pairwise([Kind.CHANGE, *between, Kind.CHANGE])):
        yield "Rounds and change-overs do not take turns."


def _short_walks(problem: Problem, answer: Answer) -> Iterator[str]:
    for entry in answer.entries:
        if entry.kind is Kind.CHANGE and entry.seconds < change_seconds(problem, entry.round or 0):
            yield f"The change-over after round {entry.round} is shorter than its walk or than what was asked."


def _thirst(problem: Problem, answer: Answer) -> Iterator[str]:
    dry = 0
    for entry in answer.entries:
        dry = 0 if entry.kind is Kind.WATER else dry + entry.seconds
        if problem.water_every_s is not None and dry > problem.water_every_s:
            yield f"There is no water for more than {clock(problem.water_every_s)}."
            return


def _reasons(problem: Problem) -> tuple[Reason, ...]:
    """Why nothing fits: what the shortest turns would take, and what would make it fit."""
    turn_s = _up(problem.work_s or problem.least_work_s)
    answer = plain(problem, turn_s)
    found = [*_too_long_reasons(problem, answer), *_thirst_reasons(problem, answer)]
    return tuple(found)


def _too_long_reasons(problem: Problem, answer: Answer) -> Iterator[Reason]:
    if problem.available_s is None or answer.seconds <= problem.available_s:
        return
    rounds = f"{problem.rounds} rounds" if problem.rounds > 1 else "1 round"
    text = (
        f"{rounds} of {clock(answer.work_s)} with change-overs, water and all other parts take "
        f"{clock(answer.seconds)}; there are {clock(problem.available_s)}."
    )
    yield Reason("minutes", text, (), f"Take {-(-answer.seconds // 60)} minutes.")
    if problem.rounds > 1:
        yield Reason(
            "rounds",
            f"There are to be {rounds}.",
            (),
            f"Make it {problem.rounds - 1} {'round' if problem.rounds == 2 else 'rounds'}.",
        )


def _thirst_reasons(problem: Problem, answer: Answer) -> Iterator[Reason]:
    if any(_thirst(problem, answer)):
        text = f"Water is to come at least every {clock(problem.water_every_s or 0)}, and one part is longer than that."
        yield Reason("water", text, (), "Let water be less often, or the part be shorter.")


def clock(seconds: int) -> str:
    """Minutes and seconds as on a watch."""
    return f"{seconds // 60}:{seconds % 60:02}"


def _up(seconds: float) -> int:
    """The next whole five seconds; what is left of a division is rounding, not walking."""
    return STEP_S * math.ceil(round(seconds / STEP_S, 9))
