"""The bell's nouns: a schedule of parts, commands, the state they lead to; `engine.clock` says how."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

LAST = 8  # samples of the server's clock among which the quickest counts, and so many before digits are shown
FEW, FEW_AFTER_MS = 4, 2000  # or so few, when the network is slow


class Phase(StrEnum):
    WAITING = "waiting"
    RUNNING = "running"
    PAUSED = "paused"
    STOPPED = "stopped"
    ENDED = "ended"


class Kind(StrEnum):
    START = "start"
    PAUSE = "pause"
    RESUME = "resume"
    ADD = "add"
    NEXT = "next"
    BACK = "back"
    RING = "ring"
    STOP = "stop"
    THUNDER = "thunder"
    REPLAN = "replan"
    END = "end"
    UNDO = "undo"


class Reason(StrEnum):
    """Why everybody was stopped; NONE while nobody has said."""

    NONE = ""
    THUNDER = "thunder"
    HURT = "hurt"
    MISSING = "missing"
    DANGER = "danger"


class Why(StrEnum):
    """Why a command changed nothing."""

    NONE = ""
    COUNTED = "counted"  # it is in the state already
    STALE = "stale"  # its sender had not seen how things stand
    NO_SCHEDULE = "no schedule"
    NOT_STARTED = "not started"
    STARTED = "started"
    NOT_RUNNING = "not running"
    RUNNING = "running"
    STOPPED = "stopped"  # everybody is stopped already
    ENDED = "ended"
    NOTHING_AFTER = "nothing after"
    UNDER_WAY = "under way"  # the round at which a new plan should begin has begun
    NO_SUCH_ROUND = "no such round"
    NOTHING_TO_UNDO = "nothing to undo"


@dataclass(frozen=True)
class Segment:
    """One part of the evening. round: of work its number, of a change-over or water the round before it."""

    kind: str
    seconds: int
    round: int | None = None
    label: str = ""

    @property
    def ms(self) -> int:
        return self.seconds * 1000


@dataclass(frozen=True)
class Schedule:
    """The parts in their order."""

    segments: tuple[Segment, ...] = ()

    def work(self, number: int | None) -> int | None:
        """The index at which a round is worked."""
        found = (i for i, part in enumerate(self.segments) if part.kind == "work" and part.round == number)
        return next(found, None)

    def joint(self, at: int) -> int:
        """Where what leads up to the part at this index begins: right behind the last work before it."""
        return next((i + 1 for i in range(at - 1, -1, -1) if self.segments[i].kind == "work"), at)

    def ms_after(self, index: int) -> int:
        """How long everything behind a part takes."""
        return sum(part.ms for part in self.segments[index + 1 :])


@dataclass(frozen=True)
class Command:
    """What somebody did to the bell.

    seq: its own number in the log; seen: the number its sender had seen; at_ms: server time.
    seconds: of add. index: the part in which next or back was tapped, None = not said.
    schedule, plan: of start and replan; round: the first one that replan changes. reason: of stop.
    """

    kind: Kind
    seq: int
    seen: int
    at_ms: int
    seconds: int = 0
    index: int | None = None
    plan: int = 0
    round: int | None = None
    schedule: Schedule | None = None
    reason: Reason = Reason.NONE


@dataclass(frozen=True)
class Saved:
    """How things stood before a command that can be taken back until an instant."""

    phase: Phase
    index: int
    left_ms: int
    until_ms: int


@dataclass(frozen=True)
class State:
    """All that a phone must know.

    index: the part it stood in at since_ms; later ones follow by themselves while it runs. deadline_ms: when that part
    ends, while running. left_ms: what is left of it, while not running. rung: the last ring's number, at rung_ms.
    While stopped: the reason, and thunder_ms: when thunder was heard last, 0 = not.
    """

    schedule: Schedule = Schedule()
    plan: int = 0
    seq: int = 0
    phase: Phase = Phase.WAITING
    index: int = 0
    since_ms: int = 0
    deadline_ms: int = 0
    left_ms: int = 0
    rung: int = 0
    rung_ms: int = 0
    reason: Reason = Reason.NONE
    thunder_ms: int = 0
    before: Saved | None = None

    @property
    def started(self) -> bool:
        return self.since_ms > 0

    @property
    def is_over(self) -> bool:
        """Behind the last part."""
        return self.index >= len(self.schedule.segments)

    def settled(self, now: int) -> State:
        """Where a running bell has got to by itself."""
        segments, index, deadline = self.schedule.segments, self.index, self.deadline_ms
        while self.phase is Phase.RUNNING and index < len(segments) and now >= deadline:
            index += 1
            deadline += segments[index].ms if index < len(segments) else 0
        return replace(self, index=index, deadline_ms=deadline)

    def left_at(self, now: int) -> int:
        """Milliseconds left of the part it has got to."""
        return max(0, self.deadline_ms - now) if self.phase is Phase.RUNNING else self.left_ms

    def placed(self, index: int, left: int, now: int) -> State:
        """The same phase at another place."""
        return replace(self, index=index, left_ms=left, deadline_ms=now + left, since_ms=now)


@dataclass(frozen=True)
class Sample:
    """One question: sent at t0, heard back at t3 by the asker's clock; reached the other at t1, left it at t2.

    RFC 5905 section 8 counts them from 1.
    """

    t0: float
    t1: float
    t2: float
    t3: float

    @property
    def offset_ms(self) -> float:
        """What to add to the asker's clock."""
        return ((self.t1 - self.t0) + (self.t2 - self.t3)) / 2

    @property
    def delay_ms(self) -> float:
        """Time on the way, both ways together; RFC 2030 prints the second sign wrongly (erratum 5020)."""
        return (self.t3 - self.t0) - (self.t2 - self.t1)


@dataclass(frozen=True)
class Offset:
    """What to add to the asker's clock, and how far off that can be: half the least time on the way."""

    offset_ms: float
    error_ms: float


def offset(samples: Sequence[Sample]) -> Offset | None:
    """From the quickest of the last eight; None without any."""
    best = min(samples[-LAST:], key=lambda sample: sample.delay_ms, default=None)
    return None if best is None else Offset(best.offset_ms, max(0.0, best.delay_ms) / 2)


def enough(samples: int, waited_ms: float) -> bool:
    """Whether digits may be shown: after eight samples, or after two seconds with four."""
    return samples >= LAST or (samples >= FEW and waited_ms >= FEW_AFTER_MS)
