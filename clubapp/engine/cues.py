"""Cues that cannot be foreseen: which word comes next, and after how long.

A wait is exponential, cut at the longest (Hohle 1965; Luce, Response Times, 1986, on non-ageing foreperiods): whoever
has waited a second is no nearer to the cue than at the start, so guessing does not pay. All arithmetic is exact, on
whole numbers below 2^53, so that the phones' script draws the same sequence from the same seed.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

# Keys of the words a caller has from the start; a page translates them.
WORDS: Mapping[str, tuple[str, ...]] = MappingProxyType(
    {
        "colours": ("red", "blue", "yellow", "white"),
        "directions": ("left", "right", "forward", "back"),
        "numbers": ("1", "2", "3", "4"),
    }
)
MOST_CUES = 1000
LEAST_TAU_MS = 200  # waits that differ by less than a child's reaction are a beat
MOST_CATCH_PERCENT = 50
MOST_CATCHES = 2  # waits without a cue one after the other: after more, children think it is over
WORD = 2**32
NEVER_ZERO = 2463534242  # Marsaglia's own first state


@dataclass(frozen=True)
class Problem:
    """What is called, how often and how far apart.

    words: what may be called, each once. count: cues to be called, without catch trials.
    least_ms, most_ms: shortest and longest wait. tau_ms: how much longer than the shortest a wait is in the mean,
        before it is cut at the longest. Not above most_ms - least_ms: waits nearly alike in chance let children feel
        the end come.
    pause_ms: what the children need to do as they were told; the next wait begins after it.
    catch_percent: of all trials, those in which the longest wait goes by and nothing is called; usual are 10 to 20.
    most_alike: no word comes more than so many times in a row. A single word is free of this rule.
    most_away: each word comes at least once in any so many cues; None = four times as many as there are words.
    Raises ValueError for figures out of range.
    """

    words: tuple[str, ...] = WORDS["colours"]
    count: int = 20
    least_ms: int = 1000
    most_ms: int = 5000
    tau_ms: int = 1000
    pause_ms: int = 0
    catch_percent: int = 0
    most_alike: int = 2
    most_away: int | None = None

    def __post_init__(self) -> None:
        if not self.words or len(set(self.words)) < len(self.words) or not all(word.strip() for word in self.words):
            raise ValueError("there must be a word to call, none empty and none twice")
        if not 1 <= self.count <= MOST_CUES or self.least_ms < 0 or self.pause_ms < 0:
            raise ValueError(f"1 to {MOST_CUES} cues are called, and no wait is below 0")
        if not LEAST_TAU_MS <= self.tau_ms <= self.most_ms - self.least_ms:
            raise ValueError(f"waits vary by {LEAST_TAU_MS} ms or more, and by no more than from shortest to longest")
        if not 0 <= self.catch_percent <= MOST_CATCH_PERCENT:
            raise ValueError(f"catch trials are 0 to {MOST_CATCH_PERCENT} in a hundred")
        if self.most_alike < 1 or self.away < 2 * len(self.words):
            raise ValueError("a word may come once, and all of them must come in twice as many cues as there are words")

    @property
    def away(self) -> int:
        return 4 * len(self.words) if self.most_away is None else self.most_away


@dataclass(frozen=True)
class Cue:
    """One trial. wait_ms: from the end of the pause before. at_ms: from the start. word: None where nothing is called,
    a catch trial: at_ms is then the moment in which it is over.
    """

    wait_ms: int
    at_ms: int
    word: str | None


@dataclass(frozen=True)
class Answer:
    cues: tuple[Cue, ...]

    @property
    def words(self) -> tuple[str, ...]:
        """What is called, in order."""
        return tuple(cue.word for cue in self.cues if cue.word is not None)


class Lot:
    """Numbers by lot, the same in every language that has 32-bit integers.

    xorshift32, x ^= x << 13, x ^= x >> 17, x ^= x << 5 (Marsaglia 2003, Xorshift RNGs, J. Stat. Softw. 8(14), p. 4).
    """

    def __init__(self, state: int) -> None:
        """state: 1 to 2^32 - 1; Lot.of makes one of any seed."""
        self.state = state

    @classmethod
    def of(cls, seed: int) -> Lot:
        """Seeds near each other give states far apart: the finaliser of MurmurHash3, 32 bits (Appleby 2011)."""
        mixed = seed % WORD
        for shift, factor in ((16, 0x85EBCA6B), (13, 0xC2B2AE35)):
            mixed = (mixed ^ (mixed >> shift)) * factor % WORD
        return cls((mixed ^ (mixed >> 16)) or NEVER_ZERO)

    def number(self) -> int:
        """1 to 2^32 - 1, each as often as any other."""
        x = self.state
        x ^= (x << 13) % WORD
        x ^= x >> 17
        x ^= (x << 5) % WORD
        self.state = x
        return x

    def below(self, count: int) -> int:
        """0 to count - 1; count below 2^21, so that the product is exact in a double."""
        return self.number() * count // WORD

    def exponential(self) -> float:
        """Mean 1. Only by comparing numbers, no logarithm (von Neumann 1951): numbers are drawn as long as each is
        below the one before; the first of an odd run is the fraction, and the runs thrown away count whole ones.
        """
        whole = 0
        while True:
            first = last = self.number()
            odd = True
            while (fresh := self.number()) < last:
                last, odd = fresh, not odd
            if odd:
                return whole + first / WORD
            whole += 1


def solve(problem: Problem, *, seed: int = 0) -> Answer:
    """The sequence of a seed. That of fewer cues is the beginning of that of more.

    Of each trial in this order: whether it is a catch trial (drawn only where there may be some), the wait, the word
    (drawn among those that may come, in the order of problem.words; not drawn for a catch trial, nor its wait).
    """
    lot, found, now, caught = Lot.of(seed), list[Cue](), 0, 0
    called: list[str] = []
    while len(called) < problem.count:
        catch = problem.catch_percent > 0 and lot.below(100) < problem.catch_percent and caught < MOST_CATCHES
        wait = problem.most_ms if catch else _wait(problem, lot)
        now += wait
        caught = caught + 1 if catch else 0
        if catch:
            found.append(Cue(wait, now, None))
            continue
        may = choices(problem, called)
        called.append(may[lot.below(len(may))])
        found.append(Cue(wait, now, called[-1]))
        now += problem.pause_ms
    return Answer(tuple(found))


def _wait(problem: Problem, lot: Lot) -> int:
    """Whole milliseconds, rounded half up; one that is too long is drawn again."""
    room = problem.most_ms - problem.least_ms
    while (more := math.floor(lot.exponential() * problem.tau_ms + 0.5)) > room:
        pass
    return problem.least_ms + more


def choices(problem: Problem, called: Sequence[str]) -> tuple[str, ...]:
    """The words that may come next, in the problem's order; there is always one.

    Each word has a deadline: most_away cues after it was last called. A word may come where all the others can still
    be called in time one after the other, the most urgent first.
    """
    recent = called[-problem.away :]
    last = {word: at for at, word in enumerate(recent, start=1)}
    left = {word: last.get(word, 0) + problem.away - len(recent) for word in problem.words}
    row = called[-problem.most_alike :]
    again = len(problem.words) == 1 or len(row) < problem.most_alike or len(set(row)) > 1
    may = [word for word in problem.words if again or word != called[-1]]
    return tuple(word for word in may if _in_time([left[other] for other in problem.words if other != word]))


def _in_time(left: list[int]) -> bool:
    """Whether each of the others can still come before its time is up, after the cue now called."""
    return all(cues >= place for place, cues in enumerate(sorted(left), start=2))


def cdf(problem: Problem, wait_ms: float) -> float:
    """How likely a wait is not longer than this: (1 - e^(-(x - min)/tau)) / (1 - e^(-(max - min)/tau))."""
    within = min(max(wait_ms, problem.least_ms), problem.most_ms) - problem.least_ms
    return math.expm1(-within / problem.tau_ms) / math.expm1(-(problem.most_ms - problem.least_ms) / problem.tau_ms)


def mean_wait_ms(problem: Problem) -> float:
    """min + tau - (max - min) / (e^((max - min)/tau) - 1), milliseconds."""
    room = problem.most_ms - problem.least_ms
    return problem.least_ms + problem.tau_ms - room / math.expm1(room / problem.tau_ms)


def violations(problem: Problem, answer: Answer) -> list[str]:
    """What a sequence breaks, in words; empty when it keeps everything."""
    found = [] if len(answer.words) == problem.count else [f"{problem.count} cues are to be called."]
    if not set(answer.words) <= set(problem.words):
        found.append("A word is called that is not one of the caller's.")
    if any(not problem.least_ms <= cue.wait_ms <= problem.most_ms for cue in answer.cues):
        found.append("A wait is shorter or longer than it may be.")
    if _times(problem, answer) != [cue.at_ms for cue in answer.cues]:
        found.append("A cue does not come when its wait is over.")
    for at in range(len(answer.words) - problem.most_alike):
        row = answer.words[at : at + problem.most_alike + 1]
        if len(set(row)) == 1 < len(problem.words):
            found.append(f"{row[0]} comes more than {problem.most_alike} times in a row.")
    for at in range(len(answer.words) - problem.away + 1):
        gone = set(problem.words) - set(answer.words[at : at + problem.away])
        found += [f"{word} does not come in {problem.away} cues." for word in sorted(gone)]
    return found


def _times(problem: Problem, answer: Answer) -> list[int]:
    """When each trial ends, from the waits alone."""
    times, now = [], 0
    for cue in answer.cues:
        now += cue.wait_ms
        times.append(now)
        now += problem.pause_ms if cue.word is not None else 0
    return times
