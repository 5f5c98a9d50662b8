"""What a change would do: fairness and rules before and after, and the group a late child fits best."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from uuid import UUID

from clubapp.engine import fairness as engine_fairness
from clubapp.engine import groups as engine_groups
from clubapp.engine.outcome import Reason
from clubapp.rotation import bridge
from clubapp.rotation.evening import Evening
from clubapp.rotation.queries import PlanView
from clubapp.rotation.wishes import Wishes


@dataclass(frozen=True)
class Weighed:
    """How fair groups are, and the coach's rules they break. score: what the engine made small."""

    fairness: engine_fairness.Fairness
    score: float
    broken: tuple[Reason, ...]


def problem_of(
    evening: Evening, plan: PlanView, answer: engine_groups.Answer, names: Mapping[UUID, str] | None = None
) -> engine_groups.Problem:
    """The rules of a plan for the children who stand in `answer`; its sizes are taken as they are."""
    standing = {child for group in answer.groups for child in group}
    there = tuple(child for child in evening.children if str(child.pk) in standing)
    wishes = replace(plan.wishes, groups=len(plan.groups))
    sizes = tuple(len(group) for group in answer.groups)
    return bridge.groups_problem(replace(evening, children=there), wishes, sizes=sizes, names=names)


def weigh(evening: Evening, plan: PlanView, names: Mapping[UUID, str] | None = None) -> Weighed:
    """A plan as it stands with the children who are here now."""
    answer = bridge.groups_answer(evening, plan)
    return _weighed(problem_of(evening, plan, answer, names), answer)


def _weighed(problem: engine_groups.Problem, answer: engine_groups.Answer) -> Weighed:
    report = engine_fairness.report(problem.athletes, problem.on, problem.balance, answer.groups)
    texts = set(engine_groups.violations(problem, answer))
    score = engine_groups.score(problem, answer)
    return Weighed(report, score, tuple(rule for rule in engine_groups.reasons(problem) if rule.text in texts))


def suggested_group(evening: Evening, plan: PlanView, athlete_id: UUID) -> int:
    """The group for one more child, everybody else staying: it breaks fewest rules, then is smallest, then fairest.

    A locked group is left alone as long as another is open; one that was given up, empty, is not filled again.
    """
    answer = bridge.groups_answer(evening, plan)
    before = {rule.text for rule in _weighed(problem_of(evening, plan, answer), answer).broken}
    going = [group.index for group in plan.groups if group.athletes]
    open_groups = [index for index in going if f"group:{index}" not in plan.locked]

    def cost(group: int) -> tuple[int, int, float, int]:
        joined = _with(answer, str(athlete_id), group)
        after = _weighed(problem_of(evening, plan, joined), joined)
        new = sum(rule.text not in before for rule in after.broken)
        return new, len(answer.groups[group]), after.score, group

    return min(open_groups or going or range(len(plan.groups)), key=cost)


def _with(answer: engine_groups.Answer, child: str, group: int) -> engine_groups.Answer:
    groups: list[Sequence[str]] = list(answer.groups)
    groups[group] = (*groups[group], child)
    return engine_groups.Answer.of(groups)


def suggested_count(evening: Evening) -> int:
    """How many groups suit the children, stations and adults of this evening."""
    return engine_groups.suggest_group_count(len(evening.children), len(evening.stations), evening.adults)


def proposed(evening: Evening, current: PlanView | None, last: PlanView | None) -> Wishes:
    """The settings to start from: today's if there is a plan, else last week's as far as they suit who is here."""
    if current:
        return current.wishes
    count, stations = suggested_count(evening), len(evening.stations)
    if last is None:
        return Wishes(groups=count, rounds=max(stations, 1))
    children = len(evening.children)
    suits = last.wishes.groups <= children <= 8 * last.wishes.groups and last.wishes.groups <= max(stations, 1)
    same_stations = len({at for row in last.rounds for at in row if at}) == stations
    return replace(
        last.wishes,
        groups=last.wishes.groups if suits else count,
        rounds=last.wishes.rounds if same_stations else max(stations, 1),
        dropped=(),
    )


@dataclass(frozen=True)
class Moved:
    """What the last change by hand did. was, now: index of the group, None = in no group."""

    child: UUID
    was: int | None
    now: int | None
    before: Weighed
    after: Weighed

    @property
    def newly_broken(self) -> tuple[Reason, ...]:
        known = {rule.text for rule in self.before.broken}
        return tuple(rule for rule in self.after.broken if rule.text not in known)


def moved(evening: Evening, before: PlanView, after: PlanView, names: Mapping[UUID, str]) -> Moved | None:
    """The one child that stands elsewhere than before, and what that did to fairness and rules."""
    for child in sorted(before.placed | after.placed):
        was, now = before.group_of(child), after.group_of(child)
        if (was and was.index) != (now and now.index):
            weighed = (weigh(evening, before, names), weigh(evening, after, names))
            return Moved(child, was.index if was else None, now.index if now else None, *weighed)
    return None
