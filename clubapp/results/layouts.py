"""The grounds of the standard tests. Where each figure comes from stands in `library`, beside the test."""

from __future__ import annotations

from decimal import Decimal

from clubapp.core.diagram.shapes import Cone, Gait, Layout, Leg, Line, Measure, Point, through

HALF_LINE = Decimal("0.6")  # a line of 1.2 m


def _across(x: int | Decimal, name: str = "", half: int | Decimal = HALF_LINE) -> Line:
    return Line((x, -half), (x, half), name)


def sprint(length: int, unit: str) -> Layout:
    half = Decimal(length) / 30
    return Layout(
        unit,
        (Leg((0, 0), (length, 0)),),
        (Measure((0, -half), (length, -half), 1),),
        lines=(_across(0, "start", half), _across(length, "finish", half)),
    )


def shuttle(length: int, legs: int, unit: str) -> Layout:
    """To and fro between two lines; each leg is drawn beside the last."""
    half = HALF_LINE if unit == "m" else 2
    ends: tuple[Point, Point] = ((0, 0), (length, 0))
    ways = tuple(Leg(ends[n % 2], ends[1 - n % 2], aside=n - (legs - 1) / 2) for n in range(legs))
    return Layout(
        unit,
        ways,
        (Measure((0, -half), (length, -half), 1.5),),
        lines=(_across(0, "start", half), _across(length, "turn", half)),
    )


FIVE_TEN_FIVE = Layout(
    "yd",
    (Leg((0, 0), (5, 0), aside=-1), Leg((5, 0), (-5, 0)), Leg((-5, 0), (0, 0), aside=1)),
    (Measure((-5, -1), (0, -1), 1), Measure((0, -1), (5, -1), 1)),
    lines=(_across(-5, "turn", 1), _across(0, "start", 1), _across(5, "turn", 1)),
)

A, B, C = (0, 0), (0, 5), (5, 5)
L_RUN = Layout(
    "yd",
    (Leg(A, B), Leg(B, A, aside=1), Leg(A, B, aside=2), Leg(B, C), Leg(C, B, aside=1), Leg(B, A, aside=3)),
    (Measure(A, B, -2), Measure(B, C, 3.5)),
    cones=(Cone(A, "A"), Cone(B, "B"), Cone(C, "C")),
)

T_FOOT, T_HEAD, T_LEFT, T_RIGHT = (0, 0), (0, 10), (-5, 10), (5, 10)
T_RUN = Layout(
    "yd",
    (
        Leg(T_FOOT, T_HEAD),
        Leg(T_HEAD, T_LEFT, Gait.SHUFFLE),
        Leg(T_LEFT, T_RIGHT, Gait.SHUFFLE, 1),
        Leg(T_RIGHT, T_HEAD, Gait.SHUFFLE, 2),
        Leg(T_HEAD, T_FOOT, Gait.BACK, 1),
    ),
    (Measure(T_FOOT, T_HEAD, -2), Measure(T_LEFT, T_HEAD, 4), Measure(T_HEAD, T_RIGHT, 4)),
    cones=(Cone(T_FOOT, "A"), Cone(T_HEAD, "B"), Cone(T_LEFT, "C"), Cone(T_RIGHT, "D")),
)

BOX_A, BOX_B, BOX_C, BOX_D = (0, 0), (0, 5), (5, 5), (5, 0)
BOX_RUN = Layout(
    "m",
    (
        Leg(BOX_A, BOX_B),
        Leg(BOX_B, BOX_C, Gait.SHUFFLE),
        Leg(BOX_C, BOX_D, Gait.BACK),
        Leg(BOX_D, BOX_A, Gait.SHUFFLE),
    ),
    (Measure(BOX_A, BOX_B, -2), Measure(BOX_B, BOX_C, 2)),
    cones=(Cone(BOX_A, "A"), Cone(BOX_B, "B"), Cone(BOX_C, "C"), Cone(BOX_D, "D")),
)

MIDDLE, APART, BESIDE = Decimal("2.5"), Decimal("3.3"), Decimal("0.6")


def _beside(number: int, side: int) -> Point:
    """Beside a middle cone: -1 left, 1 right of it."""
    return MIDDLE + side * BESIDE, number * APART


UP = [_beside(number, 1 if number % 2 else -1) for number in range(4)]
DOWN = [_beside(number, -1 if number % 2 else 1) for number in reversed(range(4))]
ILLINOIS = Layout(
    "m",
    through((0, 0), (0, 10), *UP, *DOWN, (5, 10), (5, 0)),
    (Measure((0, 0), (0, 10), -2), Measure((0, 0), (5, 0), 3), Measure((MIDDLE, APART), (MIDDLE, 2 * APART))),
    cones=(
        *(Cone(at, name) for at, name in (((0, 0), "A"), ((0, 10), "B"), ((5, 10), "C"), ((5, 0), "D"))),
        *(Cone((MIDDLE, number * APART)) for number in range(4)),
    ),
)

TURN_505 = Layout(
    "m",
    (Leg((0, 0), (10, 0), Gait.RUN_IN), Leg((10, 0), (15, 0)), Leg((15, 0), (10, 0), aside=1)),
    (Measure((0, -1), (10, -1), 1), Measure((10, -1), (15, -1), 1)),
    lines=(_across(0, "run-in", 1), _across(10, "gate", 1), _across(15, "turn", 1)),
)


def jump(hops: int) -> Layout:
    """From the line; the length drawn is an example, what counts is measured."""
    reach = Decimal("1.6")
    half = reach * hops / 12
    ways = tuple(Leg((reach * n, 0), (reach * (n + 1), 0), Gait.JUMP) for n in range(hops))
    return Layout(
        "m",
        ways,
        (),
        lines=(Line((0, -half), (0, half), "start"), Line((reach * hops, -half), (reach * hops, half), "heel")),
    )
