"""The standard tests: what they look like, how they are run and scored, in our own words, and where they come from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.utils.functional import Promise
from django.utils.translation import gettext_lazy as _

from clubapp.core.diagram.shapes import Layout
from clubapp.results import layouts
from clubapp.results.starters import LENGTHS, Starter, starters

Words = str | Promise


@dataclass(frozen=True)
class Standard:
    """One standard test. checked: whether the figures were read at the source itself, or come from memory."""

    code: str
    name: Words
    layout: Layout
    how: tuple[Words, ...]
    scoring: Words
    source: Words
    checked: bool
    row: dict[str, Any]

    @property
    def starter(self) -> Starter:
        """What the club's own row is made of."""
        return Starter(self.code, str(self.name), **self.row)


BOOK = "NSCA, Essentials of Strength Training and Conditioning, 4th ed., ch. 13 (McGuigan), test %s"
HAND = _("By hand up to the next tenth of a second, with gates to the hundredth.")
BEST_2 = _("The better of two counts. By hand up to the next tenth, with gates to the hundredth.")
LENGTH = _("Measure from the line to the nearest mark the heel left, down to the whole centimetre. The best counts.")
REST = _("At least two minutes between two attempts of a child; two or three easy ones first.")


def _row(least: int, most: int, **more: Any) -> dict[str, Any]:
    """least, most: a rule of thumb of ours for children of 5 to 18; outside of it somebody is asked."""
    return {"least": least, "most": most, **more}


def _jump(least: int, most: int) -> dict[str, Any]:
    return _row(least, most, unit="cm", better="more", hand_rounding=False, attempts=3)


def _sprints() -> Iterable[Standard]:
    how = (
        _("Start standing, the front foot behind the line, without rocking."),
        _("Whoever holds the watch stands at the finish: start at the first movement, stop when the chest is over it."),
        _("Keep 18 m (20 yd) free behind the finish."),
        REST,
    )
    for (length, unit), test in zip(LENGTHS, starters(), strict=True):
        row = {name: value for name, value in vars(test).items() if name not in ("code", "name")}
        yield Standard(test.code, test.name, layouts.sprint(length, unit), how, BEST_2, BOOK % "13.22", True, row)


SHUTTLE_5_10_5 = Standard(
    "shuttle-5-10-5-yd",
    _("5-10-5 shuttle"),
    layouts.FIVE_TEN_FIVE,
    (
        _("Three lines 5 yards apart. Start astride the middle one, a hand on it."),
        _("5 yards to one side, 10 to the other, 5 back over the middle; a hand touches each outer line."),
        _("Start once to the left and once to the right."),
    ),
    BEST_2,
    BOOK % "13.20",
    True,
    _row(4_000, 16_000, distance=20, distance_unit="yd"),
)
L_RUN = Standard(
    "l-run",
    _("L run"),
    layouts.L_RUN,
    (
        _("Three cones in an L, 5 yards a side."),
        _("From A to B and touch the line there, back to A and touch, again to B and round it to the right."),
        _("Round C from the inside, back round B, and home past A."),
    ),
    BEST_2,
    _("Common among American football coaches; the figures are from memory."),
    False,
    _row(6_000, 25_000, distance=30, distance_unit="yd"),
)
T_RUN = Standard(
    "t-run",
    _("T run"),
    layouts.T_RUN,
    (
        _("Run from A to B and touch its foot with the right hand."),
        _("Sideways to C (left hand), sideways to D (right hand), sideways to B (left hand), backwards past A."),
        _("Face the front all the way and do not cross the feet; a missed cone or a crossed step does not count."),
        _("An adult stands behind A: children fall there, running backwards."),
    ),
    BEST_2,
    BOOK % "13.18",
    True,
    _row(8_000, 35_000, distance=40, distance_unit="yd"),
)
BOX_RUN = Standard(
    "box-run-5-m",
    _("Box run"),
    layouts.BOX_RUN,
    (
        _("Four cones in a square of 5 m."),
        _("Run from A to B, sideways to C, backwards to D, sideways home to A, facing the same way all the time."),
        _("An adult stands behind D."),
    ),
    BEST_2,
    _("Common practice, no published source; 5 m is our choice for children."),
    False,
    _row(4_000, 25_000, distance=20),
)
ILLINOIS = Standard(
    "illinois",
    _("Illinois run"),
    layouts.ILLINOIS,
    (
        _("A field of 10 m by 5 m with a cone in each corner and four in the middle, 3.3 m apart."),
        _("Lie face down behind A, hands beside the shoulders; the time starts at the signal."),
        _("Up to B and back to the middle, in and out between the cones up and down, up to C and down to D."),
    ),
    BEST_2,
    "rotoruaunited.co.nz; nrpt.co.uk/training/tests/fitness/illinois.htm",
    True,
    _row(13_000, 45_000),
)


def _turn_505(foot: str, name: Words) -> Standard:
    how = (
        _("Run in from 10 m before the gate; the time starts at the gate."),
        _("One foot on or over the turning line, then back through the gate, where the time stops."),
        _("Each foot is a test of its own: name the foot that turns."),
    )
    row = _row(1_800, 9_000, distance=10)
    return Standard(f"turn-505-{foot}", name, layouts.TURN_505, how, BEST_2, BOOK % "13.21", True, row)


SHUTTLE_10_5 = Standard(
    "shuttle-10x5-m",
    _("10 × 5 m shuttle"),
    layouts.shuttle(5, 10, "m"),
    (
        _("Two lines 1.2 m long, 5 m apart. Five times to the far line and back, without a stop."),
        _("Both feet cross the line at every turn; call out the number."),
        _("Not on a slippery floor."),
    ),
    _("One attempt. By hand up to the next tenth, with gates to the hundredth."),
    _("Council of Europe, Eurofit, 2nd ed. 1993; the figures are from memory."),
    False,
    _row(14_000, 50_000, distance=50, attempts=1),
)
SHUTTLE_4_30 = Standard(
    "shuttle-4x30-ft",
    _("4 × 30 ft shuttle with two blocks"),
    layouts.shuttle(30, 4, "ft"),
    (
        _("Two lines 30 feet apart, two small blocks behind the far one."),
        _("Fetch one block and put it down behind the start, fetch the second and run through with it."),
        _("Put the first one down: who throws it runs again."),
    ),
    _("One attempt. By hand up to the next tenth, with gates to the hundredth."),
    _("National School Population Fitness Survey, United States, 1985; the layout is from memory."),
    False,
    _row(7_500, 30_000, distance=120, distance_unit="ft", attempts=1),
)
LONG_JUMP = Standard(
    "standing-long-jump",
    _("Standing long jump"),
    layouts.jump(1),
    (
        _("Both feet behind the line; swing the arms, jump with both, land on both."),
        _("Stay standing: who falls back or steps back jumps again."),
        _("On a mat, grass or sand that does not slide."),
    ),
    LENGTH,
    _("Council of Europe, Eurofit, 2nd ed. 1993; the rule is from memory."),
    False,
    _jump(300, 3_300),
)


def _hop(hops: int, foot: str, name: Words) -> Standard:
    how = (
        _("Stand on one foot behind the line; the arms may help."),
        _("Hop straight ahead and land on the same foot; hold the last landing for two seconds."),
        _("Each foot is a test of its own. Stop if a knee, heel or ankle hurts."),
    )
    source = _("Common practice, no published source.")
    row = _jump(200 * hops, 2_800 * hops)
    return Standard(f"hop-{hops}-{foot}", name, layouts.jump(hops), how, LENGTH, source, False, row)


def standards() -> dict[str, Standard]:
    """By code, in the order they are offered."""
    listed = (
        *_sprints(),
        SHUTTLE_5_10_5,
        L_RUN,
        T_RUN,
        BOX_RUN,
        ILLINOIS,
        _turn_505("left", _("505 turn, left foot")),
        _turn_505("right", _("505 turn, right foot")),
        SHUTTLE_10_5,
        SHUTTLE_4_30,
        LONG_JUMP,
        _hop(1, "left", _("Hop, left foot")),
        _hop(1, "right", _("Hop, right foot")),
        _hop(3, "left", _("Three hops, left foot")),
        _hop(3, "right", _("Three hops, right foot")),
    )
    return {standard.code: standard for standard in listed}


def standard(code: str) -> Standard | None:
    return standards().get(code)
