"""Hypothesis strategies: problems of every shape, small enough to solve many."""

from __future__ import annotations

import random
from datetime import date, timedelta

from hypothesis import settings
from hypothesis import strategies as st

from clubapp.engine import chase as engine_chase
from clubapp.engine import groups as engine_groups
from clubapp.engine import handicap as engine_handicap
from clubapp.engine import heats as engine_heats
from clubapp.engine import relay as engine_relay
from clubapp.engine.ability import Prediction
from clubapp.engine.runners import Runner
from clubapp.engine.words import Athlete

EVENING = date(2026, 3, 14)
LONGER = 5  # as many examples in the long form, which draws anew each time (see conftest)


def examples(few: int) -> settings:
    """As many in a default run, for a solver is slow; more in the long form."""
    return settings(max_examples=few if settings.default.derandomize else LONGER * few, deadline=None)


# ---------------------------------------------------------------- groups


def children(count: int, seed: int = 0) -> tuple[Athlete, ...]:
    """Invented children of 7 to 14 with a speed that goes with age, a skill, kinds, and a gap here and there."""
    lot = random.Random(f"children {count} {seed}")
    made: list[Athlete] = []
    for at in range(count):
        born = EVENING - timedelta(days=lot.randrange(7 * 365, 15 * 365))
        years = (EVENING - born).days / 365.25
        speed = round(lot.gauss(6.2 - 0.18 * (years - 7), 0.3), 2)
        values = {"speed_s": speed, "skill": float(lot.randint(1, 5))}
        if lot.random() < 0.1:
            del values["speed_s"]
        kinds = {f"sex:{lot.choice('fm')}", f"first_timer:{lot.choice(('yes', 'no', 'no'))}"}
        made.append(Athlete(f"c{at:03}", values, frozenset(kinds), born if lot.random() < 0.97 else None))
    return tuple(made)


def evening(count: int, groups: int, seed: int = 0) -> engine_groups.Problem:
    """As many children and rules as on an evening of the club: pairs together, pairs apart, two kinds never alone."""
    lot = random.Random(f"evening {count} {seed}")
    athletes = children(count, seed)
    ids = [athlete.id for athlete in athletes]
    lot.shuffle(ids)
    pairs = max(1, count // 8)
    return engine_groups.Problem(
        athletes,
        EVENING,
        groups,
        together=tuple(frozenset(ids[2 * at : 2 * at + 2]) for at in range(pairs)),
        apart=tuple(frozenset(ids[at : at + 2]) for at in range(1, 2 * pairs, 2)),
        not_alone=("sex:f", "first_timer:yes"),
    )


@st.composite
def group_problems(draw: st.DrawFn, most: int = 11) -> engine_groups.Problem:
    """Groups with every kind of rule, often impossible ones."""
    count = draw(st.integers(2, most))
    athletes = children(count, draw(st.integers(0, 999)))
    groups = draw(st.integers(1, min(4, count)))
    ids = [athlete.id for athlete in athletes]
    few = st.lists(st.frozensets(st.sampled_from(ids), min_size=2, max_size=3), max_size=2).map(tuple)
    pairs = st.tuples(st.sampled_from(ids), st.sampled_from(ids)).filter(lambda pair: pair[0] != pair[1])
    return engine_groups.Problem(
        athletes,
        EVENING,
        groups,
        sizes=draw(st.none() | st.permutations(_sizes(count, groups)).map(tuple)),
        together=draw(few),
        apart=draw(few),
        not_alone=draw(st.lists(st.sampled_from(["sex:f", "first_timer:yes"]), max_size=2, unique=True).map(tuple)),
        within_years=draw(st.none() | st.sampled_from([1.0, 2.0, 4.0])),
        largest_age_gap_years=draw(st.none() | st.sampled_from([3.0, 5.0, 8.0])),
        guided=draw(st.booleans()),
        locks=draw(st.lists(st.tuples(st.sampled_from(ids), st.integers(0, groups - 1)), max_size=2).map(tuple)),
        mode=draw(st.sampled_from(engine_groups.Mode)),
        met=draw(st.dictionaries(pairs, st.sampled_from([0.5, 1.0, 2.0]), max_size=6)),
    )


def _sizes(count: int, groups: int) -> list[int]:
    """Sizes that add up, one group larger than the others by what is over."""
    small = max(1, count // groups - 1)
    return [count - small * (groups - 1), *[small] * (groups - 1)]


# ---------------------------------------------------------------- games


def runners(count: int, seed: int = 0) -> tuple[Runner, ...]:
    """Invented runners over 40 m: quick and slow, steady and unsteady, one in six never timed before."""
    lot = random.Random(f"runners {count} {seed}")
    made = []
    for at in range(count):
        level = 0.12 if lot.random() < 1 / 6 else 0.03
        likely = Prediction(lot.gauss(1.9, 0.13), (level**2 + lot.uniform(0.02, 0.06) ** 2) ** 0.5, level)
        made.append(Runner(f"c{at:03}", likely))
    return tuple(made)


@st.composite
def heat_problems(draw: st.DrawFn, most: int = 20) -> engine_heats.Problem:
    """Heats of every kind with pairs apart, now and then impossible ones."""
    count, lanes = draw(st.integers(1, most)), draw(st.integers(2, 9))
    field = runners(count, draw(st.integers(0, 999)))
    pair = st.frozensets(st.sampled_from([one.id for one in field]), min_size=2, max_size=2)
    fewest = -(-count // lanes)
    return engine_heats.Problem(
        field,
        lanes,
        draw(st.sampled_from(engine_heats.Mode)),
        draw(st.none() | st.integers(fewest, min(count, fewest + 2))),
        tuple(draw(st.lists(pair, max_size=3))) if count > 1 else (),
        draw(st.sampled_from(engine_heats.LaneDraw)),
        draw(st.booleans()),
    )


@st.composite
def handicap_problems(draw: st.DrawFn, most: int = 8) -> engine_handicap.Problem:
    """Head starts on a count or in metres, with every step and some new children."""
    field = runners(draw(st.integers(2, most)), draw(st.integers(0, 999)))
    metres = draw(st.booleans())
    return engine_handicap.Problem(
        field,
        engine_handicap.How.METRES if metres else engine_handicap.How.SECONDS,
        draw(st.sampled_from(engine_handicap.Aim)),
        draw(st.sampled_from([250, 500, 1000] if metres else [100, 500, 1000])),
        draw(st.sampled_from([0, 3000])),
        40_000 if metres else 0,
        frozenset(draw(st.sets(st.sampled_from([one.id for one in field])))),
    )


@st.composite
def relay_problems(draw: st.DrawFn, most: int = 14) -> engine_relay.Problem:
    """Relays of every kind; now and then too few may run twice, or a pair cannot be kept apart."""
    field = runners(draw(st.integers(2, most)), draw(st.integers(0, 999)))
    ids = [one.id for one in field]
    few = st.frozensets(st.sampled_from(ids), max_size=4)
    pair = st.frozensets(st.sampled_from(ids), min_size=2, max_size=2)
    return engine_relay.Problem(
        field,
        draw(st.integers(2, min(5, len(ids)))),
        draw(st.sampled_from(engine_relay.Kind)),
        draw(st.sampled_from(engine_relay.Order)),
        tuple(draw(st.lists(pair, max_size=2))),
        draw(few),
        draw(few),
        draw(st.dictionaries(st.sampled_from(ids), st.integers(0, 3), max_size=6)),
    )


@st.composite
def chase_problems(draw: st.DrawFn, most: int = 14) -> engine_chase.Problem:
    """Chasing games of every kind, some children going easy, some ages unknown."""
    field = runners(draw(st.integers(3, most)), draw(st.integers(0, 999)))
    years = st.none() | st.integers(14, 30).map(lambda halves: halves / 2)
    easy = st.sampled_from([False, False, False, True])
    return engine_chase.Problem(
        tuple(engine_chase.Child(one, draw(years), draw(easy)) for one in field),
        draw(st.sampled_from(engine_chase.Kind)),
        draw(st.none() | st.integers(1, 4)),
        draw(st.sampled_from([45, 180, 480])),
        gap_years=draw(st.sampled_from([2.0, 4.0, 9.0])),
        back_s=draw(st.sampled_from([None, 30, 60])),
        chased=draw(st.dictionaries(st.sampled_from([one.id for one in field]), st.integers(0, 3), max_size=5)),
    )
