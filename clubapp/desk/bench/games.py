"""Games: how equal heats, teams, chances and waits are, against drawing by lot and against the snake."""

from __future__ import annotations

import math
import random
from collections.abc import Iterator
from functools import partial

import numpy as np

from clubapp.desk.bench.effort import Effort, middle, timed
from clubapp.desk.bench.rows import Row
from clubapp.engine import chase as engine_chase
from clubapp.engine import handicap as engine_handicap
from clubapp.engine import heats as engine_heats
from clubapp.engine import league as engine_league
from clubapp.engine import relay as engine_relay
from clubapp.engine.ability import Prediction
from clubapp.engine.runners import Race, Runner

DRAWS, RACES = 200, 20_000
LANES, TEAMS, COURSE_MM = 6, 4, 40_000


def field(children: int, seed: int) -> tuple[Runner, ...]:
    """From seven to fifteen over 40 m; one in eight was never timed, and the spread says so."""
    lot = random.Random(f"games {children} {seed}")
    made = []
    for at in range(children):
        level = 0.12 if lot.random() < 1 / 8 else 0.03
        mean = math.log(8.3) - 0.045 * lot.uniform(0, 8) + lot.gauss(0, 0.07)
        made.append(Runner(f"c{at:02}", Prediction(mean, math.hypot(level, lot.uniform(0.02, 0.05)), level)))
    return tuple(made)


def rows(effort: Effort) -> Iterator[Row]:
    """Each row as soon as it is measured."""
    yield heats(effort)
    yield relays(effort)
    yield handicaps(effort)
    yield chases(effort)
    yield fixtures(effort)


def heats(effort: Effort) -> Row:
    """24 children on six lanes."""
    found, snake, lots, seconds = [], [], [], []
    for seed in effort.seeds:
        problem = engine_heats.Problem(field(24, seed), LANES)
        done, took = timed(partial(engine_heats.solve, problem, seed=seed))
        assert done.answer is not None
        assert engine_heats.violations(problem, done.answer) == []
        seconds.append(took)
        found.append(done.score)
        snake.append(engine_heats.score(problem, engine_heats.plain(problem)))
        open_draw = engine_heats.Problem(problem.runners, LANES, engine_heats.Mode.OPEN)
        drawn = (engine_heats.solve(open_draw, seed=at).answer for at in range(DRAWS))
        lots.append(sum(engine_heats.score(problem, one) for one in drawn if one) / DRAWS)
    figures = {"instances": len(found), "spread_ms_median": middle(found), "spread_ms_worst": max(found)}
    against = {"snake_ms_median": middle(snake), "lot_ms_median": middle(lots), "seconds_worst": max(seconds)}
    return Row("heats 24 on 6 lanes", f"the snake, and the mean of {DRAWS} draws by lot", {**figures, **against})


def relays(effort: Effort) -> Row:
    """23 children in four teams: one team has a child who runs twice."""
    found, snake, lots, seconds = [], [], [], []
    for seed in effort.seeds:
        problem = engine_relay.Problem(field(23, seed), TEAMS)
        done, took = timed(partial(engine_relay.solve, problem, seed=seed))
        assert done.answer is not None
        assert engine_relay.violations(problem, done.answer) == []
        seconds.append(took)
        found.append(done.score)
        snake.append(engine_relay.score(problem, engine_relay.plain(problem, seed)))
        lots.append(sum(_team_lot(problem, at) for at in range(DRAWS)) / DRAWS)
    figures = {"instances": len(found), "spread_ms_median": middle(found), "spread_ms_worst": max(found)}
    against = {"snake_ms_median": middle(snake), "lot_ms_median": middle(lots), "seconds_worst": max(seconds)}
    return Row("relay 23 in 4 teams", f"the snake, and the mean of {DRAWS} draws by lot", {**figures, **against})


def _team_lot(problem: engine_relay.Problem, seed: int) -> float:
    """Totals' spread where children and who runs twice are drawn."""
    lot, ids = random.Random(f"teams {seed}"), [one.id for one in problem.runners]
    lot.shuffle(ids)
    teams = [ids[at :: problem.teams] for at in range(problem.teams)]
    whole = tuple((*team, *lot.sample(team, problem.legs - len(team))) for team in teams)
    return engine_relay.score(problem, engine_relay.Answer(whole))


def handicaps(effort: Effort) -> Row:
    """Chances of twelve over 40 m, half metres: the likeliest over the least likely, and the same counted in races."""
    factors: dict[str, list[float]] = {"chances": [], "together": [], "line": [], "simulated": []}
    seconds = []
    for seed in effort.seeds:
        runners = field(12, seed)
        for aim in engine_handicap.Aim:
            problem = engine_handicap.Problem(
                runners, engine_handicap.How.METRES, aim, engine_handicap.HALF_METRE_MM, distance_mm=COURSE_MM
            )
            done, took = timed(partial(engine_handicap.solve, problem))
            assert done.answer is not None
            factors[aim.value].append(_factor(list(engine_handicap.chances(problem, done.answer).values())))
            if aim is engine_handicap.Aim.CHANCES:
                seconds.append(took)
                factors["simulated"].append(_factor(_won(runners, problem.starts(done.answer.of), seed)))
        factors["line"].append(_factor(list(Race(runners).chances([0.0] * len(runners)))))
    figures: dict[str, float | int | str] = {"instances": len(seconds)}
    figures |= {f"{name}_factor_median": middle(found) for name, found in factors.items()}
    figures |= {"chances_factor_worst": max(factors["chances"]), "seconds_worst": max(seconds)}
    return Row("handicap 12 over 40 m", f"a common finish, one line for all, and {RACES} races drawn", figures)


def _factor(chances: list[float]) -> float:
    return max(chances) / max(min(chances), 1 / RACES)


def _won(runners: tuple[Runner, ...], starts: list[float], seed: int) -> list[float]:
    """Shares of races won, each run drawn."""
    lot = np.random.default_rng(seed)
    means = np.array([one.likely.log_mean for one in runners]) + np.array(starts)
    sds = np.array([one.likely.log_sd for one in runners])
    first = (means + sds * lot.normal(size=(RACES, len(runners)))).argmin(axis=1)
    return list(np.bincount(first, minlength=len(runners)) / RACES)


def chases(effort: Effort) -> Row:
    """Eighteen of about one age: whom the slowest set of chasers is likely to outrun, and how turns are shared."""
    found, plain, seconds, apart = [], [], [], []
    for seed in effort.seeds:
        problem = engine_chase.Problem(tuple(engine_chase.Child(one, 11.0) for one in field(18, seed)), chasers=3)
        done, took = timed(partial(engine_chase.solve, problem, seed=seed))
        assert done.answer is not None
        turns = done.answer.fields[0].turns.values()
        found.append(1 - done.score)
        plain.append(sum(1 - _chase_lot(problem, done.answer, at) for at in range(DRAWS)) / DRAWS)
        apart.append(max(turns) - min(turns))
        seconds.append(took)
    figures: dict[str, float | int | str] = {"instances": len(found), "least_share_median": middle(found)}
    figures |= {"lot_least_share_median": middle(plain), "turns_apart_most": max(apart), "seconds_worst": max(seconds)}
    return Row("chase 18, three at a time", f"the mean of {DRAWS} draws by lot", figures)


def _chase_lot(problem: engine_chase.Problem, answer: engine_chase.Answer, seed: int) -> float:
    """The score where the same number of chasers is drawn for each spell."""
    lot, own = random.Random(f"chase {seed}"), answer.fields[0]
    spells = tuple(tuple(lot.sample(own.ids, len(spell))) for spell in own.spells)
    return engine_chase.score(problem, engine_chase.Answer((engine_chase.Field(own.ids, spells),)))


def fixtures(effort: Effort) -> Row:
    """Every number of teams on two pitches: slots and the longest wait."""
    slots, plain_slots, waits, plain_waits = 0, 0, [], []
    for teams in range(5, 17):
        problem = engine_league.Problem(tuple(f"t{at:02}" for at in range(teams)), 2)
        done, plain = engine_league.solve(problem, seed=effort.seeds[0]), engine_league.plain(problem)
        assert done.answer is not None
        slots, plain_slots = slots + len(done.answer.slots), plain_slots + len(plain.slots)
        waits.append(done.score)
        plain_waits.append(engine_league.score(problem, plain))
    figures: dict[str, float | int | str] = {"slots": slots, "table_slots": plain_slots}
    figures |= {"longest_wait_median": middle(waits), "table_longest_wait_median": middle(plain_waits)}
    return Row("fixtures 5 to 16 teams on 2 pitches", "the table in its own order", figures)
