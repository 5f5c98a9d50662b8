"""Reads over several people."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from uuid import UUID

from clubapp.people.models import Athlete


def short_names(athletes: Iterable[Athlete]) -> dict[UUID, str]:
    """First names for the field; two equal ones get the initial of the family name, then more of it."""
    rows = sorted(athletes, key=lambda child: (child.first_name, child.family_name, str(child.pk)))
    shown = {child.pk: child.first_name for child in rows}
    for length in range(1, 1 + max((len(child.family_name) for child in rows), default=0)):
        common = Counter(name.casefold() for name in shown.values())
        for child in rows:
            if common[shown[child.pk].casefold()] > 1:
                shown[child.pk] = f"{child.first_name} {child.family_name[:length]}".strip()
    return shown
