"""Every write about a long search for fairer groups."""

from __future__ import annotations

from dataclasses import dataclass, replace
from uuid import UUID

from django.db import transaction
from django.utils import timezone
from django.utils.translation import gettext as _

from clubapp.engine import groups as engine_groups
from clubapp.engine.outcome import Outcome, Status
from clubapp.people.models import User
from clubapp.planning.models import Session
from clubapp.rotation import bridge, building, launching, queries
from clubapp.rotation.actions.making import Order, task_of
from clubapp.rotation.actions.rows import RefusedError, copied
from clubapp.rotation.building import Draft, Task
from clubapp.rotation.models import Plan, Think

AT_ONCE = 2  # long searches on one machine; each may take a core for half a minute
SAME = 1e-9


@dataclass(frozen=True)
class Job:
    """A long search that is to be done: its row, what is asked of the engine, and the groups it sets out from."""

    think: Think
    task: Task
    problem: engine_groups.Problem
    start: engine_groups.Answer

    @property
    def stands(self) -> bool:
        """Whether the groups it sets out from keep every rule for the children who are here."""
        return not engine_groups.violations(self.problem, self.start)


@transaction.atomic
def look_longer(*, session: Session, version: int, by: User) -> Think:
    """Ask for a long search from the current plan; one a session. version: the plan the coach was shown."""
    base = queries.newest(session.pk)
    if base is None:
        raise RefusedError(_("There are no groups yet: make them first."))
    if base.version != version:
        raise RefusedError(_("Somebody changed the plan meanwhile: look at it again."))
    _task(session, by, base)
    for think in Think.objects.filter(session=session, outcome=""):
        if not queries.is_silent(think):
            return think
        _end(think, Think.Outcome.INTERRUPTED)
    transaction.on_commit(launching.start)
    return Think.objects.create(session=session, base=base, by=by)


def _task(session: Session, by: User, base: Plan) -> Task:
    """What groups are built from now; rounds, times and bibs stay."""
    view = queries.shown(base)
    return replace(task_of(Order(session, by, view.wishes, seed=base.seed), view), running=base.answer)


def _end(think: Think, outcome: str) -> None:
    think.outcome, think.result = outcome, queries.newest(think.session_id)
    think.save(update_fields=["outcome", "result"])


@transaction.atomic
def end_with_best(*, session: Session) -> None:
    """Good enough: the search that runs is to end with the best so far."""
    Think.objects.filter(session=session, outcome="").update(enough=True)


@transaction.atomic
def claim() -> Think | None:
    """The longest waiting search, for the process that asks; None while as many run as may."""
    waiting = Think.objects.select_for_update().filter(outcome="", heard_at=None).order_by("asked_at").first()
    if waiting is None or queries.searches_running() >= AT_ONCE:
        return None
    waiting.heard_at = timezone.now()
    waiting.save(update_fields=["heard_at"])
    return waiting


def hear(*, think_id: UUID, score: float | None, bound: float) -> bool:
    """The search is alive and has come so far. Whether it is to go on.

    One statement by itself: a process that gives way to others must not hold the database while it does.
    """
    rows = Think.objects.filter(pk=think_id, outcome="")
    rows.update(score=score, bound=bound, heard_at=timezone.now())
    return rows.filter(enough=False).exists()


def job_of(think: Think) -> Job:
    """What the engine is asked, from the register and the rules as they are now."""
    if think.by is None:
        raise RefusedError(_("Whoever asked for this is not in the club any more."))
    task = _task(think.session, think.by, think.base)
    start = bridge.groups_answer(task.evening, queries.shown(think.base))
    return Job(think, task, building.groups_problem(task), start)


@transaction.atomic
def give_up(*, think: Think) -> None:
    """The search came to no end of its own; the plan stands."""
    _end(think, Think.Outcome.FAILED)


@transaction.atomic
def finish(*, job: Job, found: Outcome[engine_groups.Answer]) -> None:
    """Store what was found if it is better than what stands, unless somebody changed the plan or rang the bell."""
    think, newest = job.think, queries.newest(job.think.session_id)
    if not Think.objects.filter(pk=think.pk, outcome="").exists():
        return  # given up for dead meanwhile
    if newest is None or newest.pk != think.base_id or queries.is_running(think.session_id):
        _end(think, Think.Outcome.LEFT)
    elif _better(job, found):
        _keep(job, found)
        _end(think, Think.Outcome.STORED)
    else:
        _keep_proof(job, found)
        _end(think, Think.Outcome.NO_BETTER)


def _better(job: Job, found: Outcome[engine_groups.Answer]) -> bool:
    """Fairer, or as fair with fewer pairs who were together lately."""
    if found.answer is None or not job.stands:
        return found.answer is not None
    was, now = engine_groups.score(job.problem, job.start), found.score
    if abs(now - was) > SAME:
        return now < was
    return engine_groups.company(job.problem, found.answer) < engine_groups.company(job.problem, job.start) - SAME


def _keep(job: Job, found: Outcome[engine_groups.Answer]) -> None:
    draft, base = building.with_groups(job.task, found, building.last_bibs(job.task)), job.think.base
    assert isinstance(draft, Draft)
    copied(base, job.think.by, "longer", answer=draft.answer, proof={**base.proof, **draft.proof})


def _keep_proof(job: Job, found: Outcome[engine_groups.Answer]) -> None:
    """The same groups again, with what is now known of them: undo goes back to where it went before."""
    base = job.think.base
    if found.answer is not None and job.stands:
        known = building.proof_of(found)
        # "Simple" would mean the plain methods; here it means the groups the search set out from.
        known["status"] = Status.GOOD if found.status is Status.SIMPLE else found.status
        proof = {**base.proof, "groups": known}
        copied(base, job.think.by, base.why, proof=proof, before=base.before)
