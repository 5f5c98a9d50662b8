"""Whether two entries mean one person: asked of children before they are merged, and of their adults."""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable

from clubapp.people.models import Athlete, Guardian


def doubles(children: Iterable[Athlete]) -> list[tuple[Athlete, Athlete]]:
    """Pairs that may be one child: of one first name, with nothing that tells them apart."""
    named: dict[str, list[Athlete]] = defaultdict(list)
    for child in children:
        for name in {child.first_name.casefold(), child.given_name.casefold()}:
            named[name].append(child)
    pairs = {
        (first, second)
        for group in named.values()
        for place, first in enumerate(group)
        for second in group[place + 1 :]
        if may_be_one(first, second)
    }
    return sorted(pairs, key=lambda pair: (pair[0].full_name.casefold(), str(pair[0].pk), str(pair[1].pk)))


def may_be_one(first: Athlete, second: Athlete) -> bool:
    """A child written down on the field has a first name and a year of birth only."""
    names = {name.casefold() for name in (first.family_name, second.family_name) if name}
    days = {day for day in (first.date_of_birth, second.date_of_birth) if day}
    years = {child.born.year for child in (first, second) if child.born}
    return len(names) < 2 and len(days) < 2 and len(years) < 2


def same_adult(first: Guardian, second: Guardian) -> bool:
    """By account, e-mail or name, or by number with the first name: a number alone may be a whole household's."""
    mine, its = _marks(first), _marks(second)
    return any(one and one == other for one, other in zip(mine, its, strict=True))


def _marks(adult: Guardian) -> tuple[object, ...]:
    number, name = digits(adult.phone), adult.name.casefold()
    return adult.user_id, adult.email.casefold(), name, number and f"{number} {name.split(' ')[0]}"


def digits(phone: str) -> str:
    """Enough of the end of a number to be the same with and without the country's code."""
    digits = re.sub(r"\D", "", phone)
    return digits[-9:] if len(digits) >= 5 else ""
