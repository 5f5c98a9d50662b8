"""The one door to the solver."""

from __future__ import annotations

import subprocess
import sys

import pytest

from clubapp.engine import cpsat
from clubapp.engine.cpsat import Proof
from clubapp.engine.limits import DEFAULT, Limit


def test_a_model_is_solved_and_read_back() -> None:
    model = cpsat.new_model()
    x, y = model.new_int_var(0, 10, "x"), model.new_bool_var("y")
    model.add(x >= 3).only_enforce_if(y)
    model.add(y == 1)
    model.minimize(x)
    cpsat.hint(model, [(x, 5), (y, 1)])
    run = cpsat.run(model, DEFAULT)
    assert (run.proof, run.found, run.objective, run.bound) == (Proof.BEST, True, 3, 3)
    assert (run.value(x), run.true(y), run.core) == (3, True, ())


def test_no_answer_is_said_so() -> None:
    model = cpsat.new_model()
    model.add_bool_or([])
    run = cpsat.run(model, DEFAULT)
    assert (run.proof, run.found, run.core) == (Proof.NONE, False, ())


def test_the_assumptions_that_clash_are_named() -> None:
    model = cpsat.new_model()
    x = model.new_int_var(0, 10, "x")
    wishes = [model.new_bool_var("") for _ in range(3)]
    model.add(x >= 6).only_enforce_if(wishes[0])
    model.add(x <= 9).only_enforce_if(wishes[1])
    model.add(x <= 4).only_enforce_if(wishes[2])
    assert cpsat.run(model, DEFAULT, assume=wishes).core == (0, 2)
    assert cpsat.run(model, DEFAULT, assume=wishes[:2]).found


def test_a_limit_too_short_leaves_it_open() -> None:
    model = cpsat.new_model()
    places = [[model.new_bool_var("") for _ in range(11)] for _ in range(12)]
    for row in places:
        model.add_exactly_one(row)
    for at in range(11):
        model.add(sum(row[at] * (7 + i) for i, row in enumerate(places)) <= 12 + at % 3)
    assert cpsat.run(model, Limit(deterministic=0.0)).proof is Proof.UNKNOWN


def test_the_wall_clock_decides_when_careful() -> None:
    model = cpsat.new_model()
    x = model.new_int_var(0, 10, "x")
    model.maximize(x)
    assert cpsat.run(model, Limit(wall_seconds=10.0)).objective == 10


def test_a_model_that_is_not_valid_is_an_error() -> None:
    model = cpsat.new_model()
    model.add_modulo_equality(model.new_int_var(0, 5, ""), model.new_int_var(0, 5, ""), model.new_int_var(-2, 5, ""))
    with pytest.raises(ValueError, match="not valid"):
        cpsat.run(model, DEFAULT)


@pytest.mark.parametrize("module", ["clubapp.engine.groups", "clubapp.engine.cpsat"])
def test_importing_the_engine_loads_neither_the_solver_nor_pandas(module: str) -> None:
    code = f"import sys, {module}; print(sorted({{'ortools', 'pandas'}} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
