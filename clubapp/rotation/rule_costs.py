"""What each rule cost in fairness, reckoned in a process of its own and remembered while nothing changes."""

from __future__ import annotations

import pickle
from dataclasses import dataclass
from functools import partial
from hashlib import sha256

from django.core.cache import cache
from django.utils.translation import gettext as _
from django.utils.translation import ngettext

from clubapp.engine import fairness as engine_fairness
from clubapp.engine import groups as engine_groups
from clubapp.engine.groups import RuleCost
from clubapp.engine.outcome import Outcome, Reason, Status
from clubapp.planning.models import Session
from clubapp.rotation import bridge, building, queries, sentences
from clubapp.rotation.aside import answered
from clubapp.rotation.building import Task
from clubapp.rotation.evening import evening_of, names_for
from clubapp.rotation.queries import PlanView

WORTH_SAYING = 0.005  # less is 0.00 on the page
REMEMBERED_SECONDS = 3600
SHAPE = 2  # of what is remembered: a shared cache outlives a release, and an older cost has no `freed`


@dataclass(frozen=True)
class Costed:
    """rows: a sentence a rule, the dearest first. rest: about the rules that cost nothing. why_not: instead of rows."""

    rows: tuple[str, ...] = ()
    rest: str = ""
    company: str = ""
    why_not: str = ""


@dataclass(frozen=True)
class _Asked:
    problem: engine_groups.Problem
    answer: engine_groups.Answer
    rules: tuple[Reason, ...]


def of_session(session: Session) -> Costed:
    """The rules of the current plan, or why nothing can be said of them."""
    plan = queries.current_plan(session.pk)
    if plan is None:
        return Costed(why_not=_("There are no groups yet: make them first."))
    asked = _asked(session, plan)
    if not asked.answer.groups or engine_groups.violations(asked.problem, asked.answer):
        return Costed(why_not=_("These groups do not keep every rule as they stand: make them again to see the costs."))
    if not asked.rules:
        return Costed(why_not=_("Nothing but fairness was asked."), company=_company(asked))
    return _in_words(_reckoned(asked, plan), asked)


def _asked(session: Session, plan: PlanView) -> _Asked:
    evening = evening_of(session)
    names = names_for(session, set(evening.here))
    problem = building.groups_problem(Task(evening, plan.wishes, plan.seed, plan, names))
    rules = [rule for rule in engine_groups.reasons(problem) if rule.code != "within_years"]
    if problem.within_years is not None:
        rules.append(Reason("within_years", ""))  # one rule to the coach, though the engine counts it by child
    return _Asked(problem, bridge.groups_answer(evening, plan), tuple(rules))


def _reckoned(asked: _Asked, plan: PlanView) -> tuple[RuleCost, ...]:
    score = engine_groups.score(asked.problem, asked.answer)
    proof = plan.proof.get("groups", {})
    proven = proof.get("status") == "BEST" and abs(proof["score"] - score) < 1e-9
    outcome = Outcome(asked.answer, Status.BEST if proven else Status.GOOD, score, 0.0, 0.0)
    work = partial(engine_groups.rule_costs, asked.problem, outcome, seed=plan.seed, rules=asked.rules)
    question = pickle.dumps(work)
    key = f"costs:{SHAPE}:{sha256(question).hexdigest()}"
    answer: bytes | None = cache.get(key)
    if answer is None:
        answer = answered(question)
        cache.set(key, answer, REMEMBERED_SECONDS)
    costs: tuple[RuleCost, ...] = pickle.loads(answer)
    return costs


def _in_words(costs: tuple[RuleCost, ...], asked: _Asked) -> Costed:
    dear = sorted((cost for cost in costs if cost.cost >= WORTH_SAYING), key=lambda cost: -cost.cost)
    free = len(costs) - len(dear)
    rest = ngettext("%(n)d rule costs nothing.", "%(n)d rules cost nothing.", free) % {"n": free} if free else ""
    return Costed(tuple(_sentence(cost, asked) for cost in dear), rest, _company(asked))


def _sentence(cost: RuleCost, asked: _Asked) -> str:
    """How far apart the groups are with the rule and without it, as the plan's page says it; then the figures."""
    now = engine_groups.score(asked.problem, asked.answer)
    figures = {"cost": f"{cost.cost:.2f}", "now": f"{now:.2f}", "then": f"{max(0.0, now - cost.cost):.2f}"}
    text = _("It costs %(cost)s: fairness is %(now)s and would be %(then)s without.")
    if not cost.proven:
        text = _("It costs about %(cost)s: fairness is %(now)s and would be about %(then)s without.")
    return f"{_apart(cost, asked)} {text % figures}"


def _apart(cost: RuleCost, asked: _Asked) -> str:
    """Like with like is meant to be apart: there the figures alone are told."""
    rule = _rule(cost.rule, asked.problem)
    if asked.problem.mode is not engine_groups.Mode.EVEN:
        return _("%(rule)s.") % {"rule": rule}
    spreads = [_spreads(asked.problem, answer) for answer in (asked.answer, cost.freed)]
    text = _("%(rule)s: groups differ by %(now)s; without it, by %(then)s.")
    return text % {"rule": rule, "now": spreads[0], "then": spreads[1]}


def _spreads(problem: engine_groups.Problem, answer: engine_groups.Answer) -> str:
    report = engine_fairness.report(problem.athletes, problem.on, problem.balance, answer.groups)
    return sentences.listed([sentences.spread(row) for row in report.attributes if row.sd])


def _rule(rule: Reason, problem: engine_groups.Problem) -> str:
    names = sentences.listed(sorted(problem.name(child) for child in rule.about))
    match rule.code:
        case "together":
            return _("Keeping %(names)s together") % {"names": names}
        case "apart":
            return _("Keeping %(names)s apart") % {"names": names}
        case "not_alone":
            return _("Having no lone %(kind)s") % {"kind": sentences.kind(rule.about[0])}
        case "within_years":
            return _("Another child within %(years)g years for everybody") % {"years": problem.within_years}
        case "age_gap":
            return _("At most %(years)g years from oldest to youngest") % {"years": problem.largest_age_gap_years}
        case "guided":
            return _("Guiding first-timers")
        case "lock":
            return _("The lock on %(name)s") % {"name": problem.name(rule.about[0])}
        case _:
            return _("Keeping the size of a locked group")


def _company(asked: _Asked) -> str:
    """How many pairs were together lately and are so again."""
    pairs = [frozenset(pair) for pair in asked.problem.met]
    if not pairs:
        return ""
    again = sum(any(pair <= set(group) for group in asked.answer.groups) for pair in pairs)
    text = _("Of %(all)d pairs who were together in the last weeks, %(again)d are together again.")
    return text % {"all": len(pairs), "again": again}
