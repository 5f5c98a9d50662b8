"""What changed since the groups were made, and what each plan on offer would do: nothing is changed by looking."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from uuid import UUID

from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clubapp.core.registry import registry
from clubapp.engine.outcome import Reason
from clubapp.engine.repair import Answer, Move, Way
from clubapp.planning.models import Session
from clubapp.rotation import effects, queries, repairing, sentences, showing
from clubapp.rotation.building import Clash
from clubapp.rotation.evening import Rule
from clubapp.rotation.queries import PlanView
from clubapp.rotation.repair_forms import ChangesForm
from clubapp.rotation.repairing import Case, Offer


@dataclass(frozen=True)
class Step:
    """One child and what becomes of it. was, now: bibs, "" = in no group."""

    name: str
    was: str
    now: str
    why: str


@dataclass(frozen=True)
class Proposal:
    """One plan on offer. heading, short: what it says before it is opened.

    turns: the new grid from the round on, where it is another.
    """

    key: str
    mark: str
    title: str
    heading: str
    short: str
    steps: list[Step]
    lines: list[str]
    owed: list[str]
    turns: list[showing.Turn] = field(default_factory=list)


@dataclass(frozen=True)
class WayOut:
    """One rule of a clash. query: the address at which it does not count; empty where only words can help."""

    text: str
    button: str
    query: str


def ways_out(case: Case, clash: Clash, form: ChangesForm, *, full: bool) -> list[WayOut]:
    """The rules that clash, each with the tap that takes it away for today. A pair rule is the head coach's to drop.

    Where none were found in the time given, every rule there is.
    """
    rules = case.evening.rules if full else ()
    unknown = any(reason.code == "time" for reason in clash.reasons)
    reasons = [*clash.reasons, *(repairing.all_rules(case) if unknown else ())]
    return [_way_out(reason, form, rules, full=full) for reason in reasons]


def _way_out(reason: Reason, form: ChangesForm, rules: Sequence[Rule], *, full: bool) -> WayOut:
    token = f"shut:{reason.about[0]}" if reason.code == "shut" else sentences.token_of(reason, rules)
    text = sentences.rule(reason, full=full)
    return WayOut(text, sentences.way_out(reason), form.with_one("dropped", token)) if token else WayOut(text, "", "")


def facts(case: Case) -> list[str]:
    """What the register says that the plan does not know yet."""
    late = set(case.late) - set(case.changes.late)
    found = [_("%(name)s is here, in no group.") % {"name": case.names[child]} for child in _by_name(case, late)]
    return [*found, *_gone(case)]


def _gone(case: Case) -> list[str]:
    gone, out = [], registry.taken_out(case.evening.session.pk)
    for child in _by_name(case, set(case.gone) - set(case.changes.left)):
        group = case.plan.group_of(child)
        bib = group.bib if group else ""
        text = (
            _("%(name)s of %(bib)s takes no part any more.") if child in out else _("%(name)s of %(bib)s is not here.")
        )
        gone.append(text % {"name": case.names[child], "bib": bib})
    return gone


def _by_name(case: Case, children: Iterable[UUID]) -> list[UUID]:
    return sorted(children, key=lambda child: case.names[child].casefold())


def proposals(case: Case, *, full: bool, late_s: int = 0) -> list[Proposal] | Clash:
    """full: whether this adult may know pair rules and skill. late_s: how far the bell is behind the plan."""
    found = repairing.offers(case)
    return found if isinstance(found, Clash) else [_proposal(case, offer, full=full, late_s=late_s) for offer in found]


def _proposal(case: Case, offer: Offer, *, full: bool, late_s: int) -> Proposal:
    answer = offer.answer
    view = _as_plan(case, offer)
    steps = [[_step(case, move, full=full) for move in kind] for kind in (answer.placed, answer.moves)]
    lines = [*_rests(case, view), *_time(case, answer, offer.key)]
    other = view.rounds != case.plan.rounds
    grid = showing.grid(view, case.evening.session, case.evening.stations, late_s) if other else []
    return Proposal(
        key=offer.key,
        mark=offer.mark,
        title=_title(len(answer.moves)),
        heading=_heading(offer.key),
        short=_title(len(answer.moves)) if answer.moves or not lines else lines[0],
        steps=[step for kind in steps for step in sorted(kind, key=lambda one: one.name.casefold())],
        lines=[*lines, *_fairness(case, view, full=full)],
        owed=_owed(case, answer),
        turns=[turn for turn in grid if turn.number >= case.at_round],
    )


def _title(moves: int) -> str:
    if not moves:
        return _("Nobody changes groups")
    return ngettext("%(n)d child changes groups", "%(n)d children change groups", moves) % {"n": moves}


def _heading(key: str) -> str:
    """What sets a plan apart from the one that stands first."""
    return {
        repairing.SECOND: _("Second-best"),
        repairing.LONGER: _("Drop a round, the others longer"),
        str(Way.SHORTEN): _("Shorten the rounds instead"),
        str(Way.DROP): _("Drop a round, end earlier"),
        str(Way.OVER): _("Run over instead"),
    }.get(key, "")


def _as_plan(case: Case, offer: Offer) -> PlanView:
    """The plan as it would be shown."""
    return replace(
        case.plan,
        groups=tuple(
            replace(group, athletes=tuple(UUID(child) for child in row["athletes"]))
            for group, row in zip(case.plan.groups, offer.draft.answer["groups"], strict=True)
        ),
        rounds=tuple(tuple(UUID(at) if at else None for at in row) for row in offer.draft.answer["rounds"]),
        timetable=queries.entries(offer.draft.answer),
    )


def _step(case: Case, move: Move, *, full: bool) -> Step:
    bibs = [group.bib for group in case.plan.groups]
    was = "" if move.was is None else bibs[move.was]
    return Step(case.names[UUID(move.athlete)], was, bibs[move.now], why(move.why, full=full))


def why(reason: Reason, *, full: bool) -> str:
    """A reason in the page's language."""
    own = {
        "merged": _("The group is given up."),
        "size": _("The groups would be less equal in size otherwise."),
        "fair": _("The groups are fairer like this."),
        "only": _("In every other group a rule would be broken."),
    }
    return own.get(reason.code) or sentences.rule(reason, full=full)


def _rests(case: Case, view: PlanView) -> Iterator[str]:
    """Groups that rest now and did not before."""
    for number in range(case.at_round, len(view.rounds) + 1):
        before = {group.index for group in case.plan.resting(number)}
        new = [group.bib for group in view.resting(number) if group.index not in before and group.athletes]
        if new:
            yield _("%(bibs)s: a rest in round %(round)d.") % {"bibs": sentences.listed(new), "round": number}


def _time(case: Case, answer: Answer, key: str) -> Iterator[str]:
    rounds, before = len(answer.rotation.rounds), len(case.plan.rounds)
    last = next(part.seconds for part in reversed(answer.hours.entries) if part.kind == "work")
    if answer.way is Way.SHORTEN:
        yield _("Every round from round %(round)d on takes %(time)s.") % {
            "round": case.at_round, "time": sentences.minutes(last),
        }  # fmt: skip
    if key == repairing.LONGER:
        yield _("The rounds to come take %(time)s each.") % {"time": sentences.minutes(last)}
    if answer.way is Way.DROP:
        yield ngettext("%(n)d round instead of %(before)d.", "%(n)d rounds instead of %(before)d.", rounds) % {
            "n": rounds, "before": before,
        }  # fmt: skip
    if answer.way is None:
        return
    if answer.over_s > 0:
        yield _("It ends %(time)s later; every round stays as long as it was.") % {
            "time": sentences.minutes(answer.over_s)
        }
    else:
        spare = sentences.minutes(-answer.over_s)
        yield _("It ends %(time)s earlier than planned.") % {"time": spare} if answer.over_s else _("It ends in time.")


def _fairness(case: Case, view: PlanView, *, full: bool) -> list[str]:
    here = replace(case.evening, children=tuple(c for c in case.evening.children if c.pk in case.here))
    text = sentences.fairness(effects.weigh(here, view).fairness, full=full)
    return [text] if text else []


def _owed(case: Case, answer: Answer) -> list[str]:
    pairs = [(UUID(one.athlete), UUID(one.station)) for one in answer.owed]
    stations = {station.pk: station.name for station in case.evening.stations}
    return list(sentences.owed(pairs, stations, case.names))


def round_now(session: Session, plan: PlanView) -> int:
    """The first round whose work has not begun by the planned times of the wall clock; the coach may say another."""
    since = (timezone.now() - session.starts_at).total_seconds()
    works = [part for part in plan.timetable if part.kind == "work" and part.round]
    waiting = (part.round for part in works if part.starts_s > since)
    return next((number for number in waiting if number), len(plan.rounds)) if since > 0 else 1
