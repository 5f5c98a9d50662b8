"""The queue check of an activity's card against published work-to-rest ratios.

Source of the ratio: NSCA guidance for short runs with all one has, work to rest 1:12 to 1:20, as public texts quote it
(the chapter itself was not read). That k children sent every s seconds rest k·s − w each is arithmetic.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from clubapp.planning.library.shelf import standard
from clubapp.planning.library.waiting import wait_in


@pytest.mark.parametrize(("children", "rest", "enough"), [(5, 56, True), (4, 44, False)])
def test_a_run_of_4_s_asks_for_48_s_of_rest(children: int, rest: int, enough: bool) -> None:
    card = replace(standard()["straight-to-the-post"], work_s=4, every_s=12, rest=12)
    wait = wait_in(card, children)
    assert (wait.wait_s, wait.enough) == (rest, enough)
    assert wait_in(replace(card, every_s=wait.every_s), children).enough
    assert not wait_in(replace(card, every_s=wait.every_s - 1), children).enough
