"""What one person may see of a session's plan; whatever this person may not know is not put together at all."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from uuid import UUID

from clubapp.people.access import Person
from clubapp.planning.models import Session
from clubapp.rotation import access, effects, queries, sentences, showing
from clubapp.rotation.evening import Evening, evening_of, names_for
from clubapp.rotation.queries import PlanView
from clubapp.rotation.walking import walking


@dataclass(frozen=True)
class Late:
    """A child who is here but in no group, and the colour of the group that suits best."""

    id: UUID
    name: str
    bib: str


@dataclass(frozen=True)
class Change:
    """What the last move by hand did."""

    text: str
    figures: tuple[tuple[str, str, str], ...]
    broken: tuple[str, ...]


@dataclass(frozen=True)
class Judged:
    """How good the plan is; only for the adult who runs the session."""

    fairness: str
    best: str
    gaps: tuple[str, ...]
    broken: tuple[str, ...]
    figures: tuple[tuple[str, str], ...]
    arithmetic: str
    walking: str
    asked: str
    trade: str
    change: Change | None
    may_be_better: bool


@dataclass(frozen=True)
class Page:
    """Everything the template needs; judged is None for an assistant, plan is None before the first."""

    session: Session
    evening: Evening
    plan: PlanView | None
    leads: bool
    full: bool
    running: bool
    names: Mapping[UUID, str]
    cards: list[showing.Card] = field(default_factory=list)
    turns: list[showing.Turn] = field(default_factory=list)
    parts: list[showing.Part] = field(default_factory=list)
    late: list[Late] = field(default_factory=list)
    gone: list[str] = field(default_factory=list)
    owed: list[str] = field(default_factory=list)
    judged: Judged | None = None
    stale: bool = False


def page_of(user: Person, session: Session) -> Page:
    evening, plan = evening_of(session), queries.current_plan(session.pk)
    leads, full = access.may_build(user, session), access.may_know_rules(user, session.club_id)
    named = set(evening.here) | set(plan.placed if plan else ())
    names = names_for(session, named)
    running = queries.is_running(session.pk)
    if plan is None:
        return Page(session, evening, None, leads, full, running, names)
    return Page(
        session,
        evening,
        plan,
        leads,
        full,
        running,
        names,
        cards=showing.cards(plan, evening, names),
        turns=showing.grid(plan, session, evening.stations),
        parts=showing.parts(plan, session),
        late=_late(evening, plan, names),
        gone=sorted((names[child] for child in plan.placed - evening.here if child in names), key=str.casefold),
        owed=_owed(evening, plan, names) if leads else [],
        judged=_judged(evening, plan, names, full=full) if leads else None,
        stale=showing.stale(plan, evening),
    )


def _late(evening: Evening, plan: PlanView, names: Mapping[UUID, str]) -> list[Late]:
    waiting = sorted(evening.here - plan.placed, key=lambda child: names[child].casefold())
    return [
        Late(child, names[child], plan.groups[effects.suggested_group(evening, plan, child)].bib) for child in waiting
    ]


def _owed(evening: Evening, plan: PlanView, names: Mapping[UUID, str]) -> list[str]:
    """Stations that children miss because the plan was changed while it ran."""
    pairs = [(UUID(child), UUID(station)) for child, station in plan.proof.get("owed", [])]
    return list(sentences.owed(pairs, {station.pk: station.name for station in evening.stations}, names))


def _judged(evening: Evening, plan: PlanView, names: Mapping[UUID, str], *, full: bool) -> Judged:
    weighed = effects.weigh(evening, plan, names)
    report = weighed.fairness
    return Judged(
        fairness=sentences.fairness(report, full=full, mode=plan.wishes.mode),
        best=sentences.best(plan, weighed),
        gaps=tuple(sentences.filled_in(report, names, full=full)),
        broken=tuple(dict.fromkeys(sentences.rule(rule, full=full) for rule in weighed.broken)),
        figures=tuple(sentences.figures(plan, weighed, full=full)),
        arithmetic=sentences.arithmetic(plan, evening),
        walking=walking(plan, evening),
        asked=sentences.asked(plan.wishes),
        trade=sentences.trade(plan),
        change=_change(evening, plan, names, full=full),
        may_be_better=not sentences.is_best(plan, weighed),
    )


def _change(evening: Evening, plan: PlanView, names: Mapping[UUID, str], *, full: bool) -> Change | None:
    """Only right after a move or a placing: what it did, before → after."""
    earlier = queries.plan_by_id(plan.before) if plan.before and plan.why in ("moved", "placed") else None
    moved = effects.moved(evening, earlier, plan, names) if earlier else None
    if moved is None:
        return None
    bibs = [group.bib for group in plan.groups]
    return Change(
        text=sentences.moved(names.get(moved.child, ""), moved, bibs),
        figures=tuple(sentences.before_after(moved, full=full)),
        broken=tuple(dict.fromkeys(sentences.rule(rule, full=full) for rule in moved.newly_broken)),
    )
