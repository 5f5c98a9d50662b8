"""The club's roster as it stands, read in a handful of queries however many children there are."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass, field
from uuid import UUID

from clubapp.people.models import Athlete, Club, Guardianship, PairRule, Squad

KINDS = ("together", "apart")


@dataclass(frozen=True)
class Snapshot:
    """Children by id, with the squads and pair-rule labels of each."""

    athletes: dict[UUID, Athlete]
    squads: dict[UUID, set[str]]
    squad_names: dict[str, str]
    labels: dict[str, dict[UUID, set[str]]]
    rules: dict[tuple[str, str], UUID]
    by_roster_id: dict[str, Athlete] = field(default_factory=dict)
    by_name: dict[str, list[Athlete]] = field(default_factory=dict)
    adults: dict[UUID, list[Guardianship]] = field(default_factory=dict)


def take(club: Club) -> Snapshot:
    athletes = {child.pk: child for child in Athlete.objects.filter(club=club)}
    labels, rules = labels_of(club)
    by_name: dict[str, list[Athlete]] = defaultdict(list)
    for child in athletes.values():
        by_name[name_key(child.given_name, child.family_name)].append(child)
    return Snapshot(
        athletes=athletes,
        squads=_squads(club),
        squad_names={str(pk): name for pk, name in Squad.objects.filter(club=club).values_list("pk", "name")},
        labels=labels,
        rules=rules,
        by_roster_id=_by_roster_id(athletes.values()),
        by_name=by_name,
        adults=_adults(club),
    )


def _adults(club: Club) -> dict[UUID, list[Guardianship]]:
    """Restricted ones too: a file must not bring such an adult in a second time."""
    found: dict[UUID, list[Guardianship]] = defaultdict(list)
    rows = Guardianship.everyone.filter(athlete__club=club).select_related("guardian", "athlete__club")
    for tie in rows.order_by("emergency_order", "guardian__name", "pk"):
        found[tie.athlete_id].append(tie)
    return found


def _by_roster_id(athletes: Iterable[Athlete]) -> dict[str, Athlete]:
    """The club's own ids win over ours."""
    ordered = sorted(athletes, key=lambda child: bool(child.roster_id))
    return {shown_id(child): child for child in ordered}


def shown_id(child: Athlete) -> str:
    """The id in our file: the club's own or, without one, a piece of ours, so that a renamed child stays the same."""
    return child.roster_id or child.pk.hex[:12]


def name_key(*parts: str) -> str:
    return " ".join(part for part in parts if part).casefold()


def shown_label(rule_id: UUID, label: str) -> str:
    return label or rule_id.hex[:12]


def _squads(club: Club) -> dict[UUID, set[str]]:
    found: dict[UUID, set[str]] = defaultdict(set)
    ties = Athlete.squads.through.objects.filter(athlete__club=club).values_list("athlete_id", "squad_id")
    for athlete_id, squad_id in ties:
        found[athlete_id].add(str(squad_id))
    return found


def labels_of(club: Club) -> tuple[dict[str, dict[UUID, set[str]]], dict[tuple[str, str], UUID]]:
    """Labels by kind and child, and the rule behind each label."""
    rules = list(PairRule.objects.filter(club=club).values_list("pk", "kind", "label"))
    named = {pk: (kind, shown_label(pk, label)) for pk, kind, label in rules}
    found: dict[str, dict[UUID, set[str]]] = {kind: defaultdict(set) for kind in KINDS}
    ties = PairRule.athletes.through.objects.filter(pairrule__club=club).values_list("pairrule_id", "athlete_id")
    for rule_id, athlete_id in ties:
        kind, label = named[rule_id]
        found[kind][athlete_id].add(label)
    return found, {name: pk for pk, name in named.items()}
