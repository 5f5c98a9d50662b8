"""Fifteen schoolgirls walk out in threes on seven days, no two together twice: Kirkman 1850.

The numeric solution: liquisearch.com/kirkmans_schoolgirl_problem/solution. Solution I of Cole's seven: Wikipedia. The
wrong table is printed at everything2.com ("How Reverend Kirkman positioned the schoolgirls").
"""

from __future__ import annotations

from collections import Counter
from itertools import combinations

from clubapp.engine import designs
from tests.published.tables import rows

COLE_1 = """ABC DEF GHI JKL MNO | ADG BEH CJM FKN ILO | AEO BIJ CDN FHL GKM | AIM BDL CEK FGO HJN
| AFJ BKO CGL DHM EIN | AHK BGN CFI DJO ELM | ALN BFM CHO DIK EGJ"""
MISPRINTED = """abc dhl ejn fio gkm | ade bik cmo fhn gjl | afg bhj cln dim eko | ahi beg cmn djo fkl
| ajk cdf blo ehm gin | alm bef cij dkn gho | ano bdg chk eil fjm"""

Walks = list[list[frozenset[str]]]


def walks(text: str) -> Walks:
    return [[frozenset(group) for group in day.split()] for day in text.upper().split("|")]


def met(days: Walks) -> Counter[str]:
    return Counter("".join(sorted(pair)) for day in days for group in day for pair in combinations(group, 2))


def is_solved(days: Walks) -> bool:
    """Everybody walks every day, and every pair once."""
    everybody = set("ABCDEFGHIJKLMNO")
    walk = all(set().union(*day) == everybody and sum(map(len, day)) == 15 for day in days)
    return walk and met(days) == Counter("".join(pair) for pair in combinations("ABCDEFGHIJKLMNO", 2))


def test_the_table_is_the_published_one_and_solves_it() -> None:
    kept: list[list[tuple[int, ...]]] = [[] for _ in range(7)]
    for row in rows("group_rotation_designs.csv"):
        if row[0] == "15p_groups3_7rounds_Kirkman":
            kept[int(row[1]) - 1].append(tuple(map(int, row[3:])))
    made = designs.mixing(5, 3)
    assert [list(turn) for turn in made] == kept
    assert is_solved([[frozenset(chr(64 + girl) for girl in group) for group in turn] for turn in made])


def test_another_published_solution_passes_the_same_test() -> None:
    assert is_solved(walks(COLE_1))


def test_the_misprinted_table_is_refused_for_the_pairs_it_repeats() -> None:
    days = walks(MISPRINTED)
    assert not is_solved(days)
    assert sorted(pair for pair, times in met(days).items() if times > 1) == ["BE", "BG", "CM", "CN"]
    assert sorted({"BM", "BN", "CE", "CG"} - met(days).keys()) == ["BM", "BN", "CE", "CG"]
