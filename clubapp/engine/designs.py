"""Published tables and laws: who plays whom, who is with whom, which station follows which.

Players, stations and rounds are numbered from 1. A table is a literal only where no law makes it.
"""

from __future__ import annotations

from collections.abc import Iterator

Pairs = tuple[tuple[int, int], ...]
Round = tuple[tuple[int, ...], ...]
Court = tuple[tuple[int, int], tuple[int, int]]

# Fifteen schoolgirls, seven days (Kirkman 1850): every pair once. liquisearch.com, Kirkman's schoolgirl problem.
KIRKMAN_15 = """
1-6-11 | 2-7-12 | 3-8-13 | 4-9-14 | 5-10-15
1-2-5 | 3-4-7 | 8-9-12 | 10-11-14 | 6-13-15
2-3-6 | 4-5-8 | 9-10-13 | 11-12-15 | 1-7-14
5-6-9 | 7-8-11 | 1-12-13 | 3-14-15 | 2-4-10
3-5-11 | 4-6-12 | 7-9-15 | 1-8-10 | 2-13-14
5-7-13 | 6-8-14 | 2-9-11 | 3-10-12 | 1-4-15
4-11-13 | 5-12-14 | 2-8-15 | 1-3-9 | 6-7-10
"""
# The affine plane of order 4: sixteen in fours, every pair once in five rounds.
AFFINE_16 = """
1-5-9-13 | 2-6-10-14 | 3-7-11-15 | 4-8-12-16
1-6-11-16 | 2-5-12-15 | 3-8-9-14 | 4-7-10-13
1-7-12-14 | 2-8-11-13 | 3-5-10-16 | 4-6-9-15
1-8-10-15 | 2-7-9-16 | 3-6-12-13 | 4-5-11-14
1-2-3-4 | 5-6-7-8 | 9-10-11-12 | 13-14-15-16
"""
# Thirty-two in fours, nine rounds, nobody twice: CSPLib problem 010, results/9weeksol.txt.
FOURS_32 = """
1-2-3-4 | 5-6-7-8 | 9-10-11-12 | 13-14-15-16 | 17-18-19-20 | 21-22-23-24 | 25-26-27-28 | 29-30-31-32
1-5-9-13 | 2-6-10-14 | 3-7-11-15 | 4-8-12-16 | 17-21-25-29 | 18-22-26-30 | 19-23-27-31 | 20-24-28-32
1-6-11-16 | 2-5-12-15 | 3-8-9-14 | 4-7-10-13 | 17-22-27-32 | 18-21-28-31 | 19-24-25-30 | 20-23-26-29
1-7-17-23 | 2-8-18-24 | 3-5-19-21 | 4-6-20-22 | 9-15-25-31 | 10-16-26-32 | 11-13-27-29 | 12-14-28-30
1-8-19-22 | 2-7-20-21 | 3-6-17-24 | 4-5-18-23 | 9-16-27-30 | 10-15-28-29 | 11-14-25-32 | 12-13-26-31
1-10-18-25 | 2-9-17-26 | 3-12-20-27 | 4-11-19-28 | 5-14-22-29 | 6-13-21-30 | 7-16-24-31 | 8-15-23-32
1-12-21-32 | 2-11-22-31 | 3-10-23-30 | 4-9-24-29 | 5-16-17-28 | 6-15-18-27 | 7-14-19-26 | 8-13-20-25
1-14-20-31 | 2-13-19-32 | 3-16-18-29 | 4-15-17-30 | 5-10-24-27 | 6-9-23-28 | 7-12-22-25 | 8-11-21-26
1-15-24-26 | 2-16-23-25 | 3-13-22-28 | 4-14-21-27 | 5-11-20-30 | 6-12-19-29 | 7-9-18-32 | 8-10-17-31
"""
# One round each; the others follow by adding 1 within each of the rows, the remaining numbers stay where they are.
# Found by search and checked pair by pair: no two numbers meet twice, and no more rounds are possible.
FOURS_24 = ("1-2-4-14 | 5-16-20-21 | 8-12-13-18 | 6-10-19-22 | 3-11-15-23 | 7-9-17-24", 7)
THREES_24 = ("2-7-9 | 3-11-18 | 4-5-21 | 6-14-19 | 10-20-22 | 12-13-16 | 1-15-23 | 8-17-24", 11)
FOURS_28 = ("2-9-19-20 | 3-8-14-15 | 4-7-12-17 | 5-6-21-27 | 11-18-22-26 | 13-16-23-25 | 1-10-24-28", 9)
PRIMES = (2, 3, 5, 7, 11, 13)

# Starters of whist tournaments, Wh(v): -1 is the player who stays, the others are counted modulo v - 1; add 1 a round.
# Each game a+b against c+d. Found by search and checked: partners once, opponents twice.
WHIST = {
    4: "-1+0 v 1+2",
    8: "-1+0 v 1+3 ; 2+6 v 4+5",
    12: "-1+0 v 1+3 ; 2+9 v 6+7 ; 4+10 v 5+8",
    16: "-1+0 v 1+2 ; 3+6 v 9+11 ; 4+13 v 8+12 ; 5+10 v 7+14",
    20: "-1+0 v 1+2 ; 3+5 v 9+15 ; 4+14 v 12+17 ; 6+18 v 10+13 ; 7+11 v 8+16",
    24: "-1+0 v 1+2 ; 3+5 v 7+17 ; 4+12 v 18+22 ; 6+20 v 10+13 ; 8+19 v 11+16 ; 9+15 v 14+21",
}


def berger(players: int) -> tuple[Pairs, ...]:
    """Everybody meets everybody once, sides as even as can be (FIDE Handbook C.05, Annex 1: Berger tables).

    First-named has the first side. With an odd number whoever meets number players + 1 has a bye.
    Raises ValueError below two players.
    """
    if players < 2:
        raise ValueError("a round robin needs at least two players")
    size = players + players % 2
    return tuple(tuple(_berger_round(size, turn)) for turn in range(1, size))


def _berger_round(size: int, turn: int) -> Iterator[tuple[int, int]]:
    centre = (turn + 1) // 2 if turn % 2 else turn // 2 + size // 2
    yield (centre, size) if turn % 2 else (size, centre)
    for step in range(1, size // 2):
        yield (centre + step - 1) % (size - 1) + 1, (centre - step - 1) % (size - 1) + 1


def williams(stations: int) -> tuple[tuple[int, ...], ...]:
    """Orders of stations in which each follows each other equally often (Williams 1949, Aust. J. Sci. Res. A2).

    An even number has as many orders as stations, each succession once; an odd one twice as many, each twice.
    """
    steps = [0, *((turn + 1) // 2 if turn % 2 else -(turn // 2) for turn in range(1, stations))]
    rows = [tuple((start + step) % stations + 1 for step in steps) for start in range(stations)]
    return tuple(rows if stations % 2 == 0 else [*rows, *(row[::-1] for row in rows)])


def serpentine(count: int, parts: int) -> tuple[int, ...]:
    """The part of rank 1, 2, … when dealt 1 2 3 3 2 1 1 2 3 …; the way athletics meetings fill heats. Parts from 0."""
    rows = (divmod(rank, parts) for rank in range(count))
    return tuple(parts - 1 - place if row % 2 else place for row, place in rows)


def whist(players: int) -> tuple[tuple[Court, ...], ...]:
    """Two against two: everyone partners everyone once and opposes everyone twice. The player who stays is the last.

    Raises ValueError for a number without a table: 4, 8, 12, 16, 20 and 24 have one.
    """
    if players not in WHIST:
        raise ValueError(f"there is no table of two against two for {players}")
    games = [_game(text) for text in WHIST[players].split(" ; ")]
    return tuple(tuple(_moved(game, turn, players) for game in games) for turn in range(players - 1))


def _game(text: str) -> list[list[int]]:
    return [[int(player) for player in side.split("+")] for side in text.split(" v ")]


def _moved(game: list[list[int]], turn: int, players: int) -> Court:
    (a, b), (c, d) = ([_seat(player, turn, players) for player in side] for side in game)
    return (a, b), (c, d)


def _seat(player: int, turn: int, players: int) -> int:
    return players if player < 0 else (player + turn) % (players - 1) + 1


def mixing(groups: int, size: int) -> tuple[Round, ...]:
    """Rounds of `groups` groups of `size` in which no two meet twice; empty where no table is known here."""
    tables = {(5, 3): KIRKMAN_15, (4, 4): AFFINE_16, (8, 4): FOURS_32}
    cycles = {(6, 4): FOURS_24, (8, 3): THREES_24, (7, 4): FOURS_28}
    if size == 2:
        return berger(2 * groups)
    if (groups, size) in tables:
        return tuple(_round(line) for line in tables[groups, size].split("\n") if line)
    if (groups, size) in cycles:
        return cyclic(*cycles[groups, size])
    if groups == 4 and size == 3:
        return tuple(tuple(group[:3] for group in turn) for turn in mixing(4, 4)[:4])
    return transversal(groups, size) if groups in PRIMES and size <= groups else ()


def cyclic(base: str, modulus: int) -> tuple[Round, ...]:
    """A round and what follows by adding 1 within each row of `modulus` numbers; numbers left over stay."""
    first = _round(base)
    rows = sum(map(len, first)) // modulus * modulus
    return tuple(
        tuple(tuple(_step(number, turn, modulus, rows) for number in group) for group in first)
        for turn in range(modulus)
    )


def _step(number: int, turn: int, modulus: int, rows: int) -> int:
    row, place = divmod(number - 1, modulus)
    return number if number > rows else row * modulus + (place + turn) % modulus + 1


def transversal(groups: int, size: int) -> tuple[Round, ...]:
    """For a prime number of groups: one of each row of `groups` numbers, shifted by row times round (Bose 1938).

    When the groups are as large as they are many, the rows themselves are one more round: an affine plane.
    """
    rounds = [
        tuple(tuple(row * groups + (place + row * turn) % groups + 1 for row in range(size)) for place in range(groups))
        for turn in range(groups)
    ]
    rows = tuple(tuple(range(row * groups + 1, row * groups + groups + 1)) for row in range(size))
    return tuple([*rounds, rows] if size == groups else rounds)


def _round(line: str) -> Round:
    return tuple(tuple(int(number) for number in group.split("-")) for group in line.split(" | "))
