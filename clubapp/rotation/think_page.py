"""How far a long search is, or how it came out, for whoever runs the session."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from clubapp.planning.models import Session
from clubapp.rotation import queries
from clubapp.rotation.models import Think
from clubapp.rotation.queries import PlanView

ENDED = {
    Think.Outcome.STORED: _l("Fairer groups were found."),
    Think.Outcome.NO_BETTER: _l("Looked longer: nothing fairer was found."),
    Think.Outcome.LEFT: _l("The plan was changed or the bell started meanwhile, so what was found was left aside."),
    Think.Outcome.FAILED: _l("The search was broken off by a mistake of ours. These groups stand."),
    Think.Outcome.INTERRUPTED: _l("The search was interrupted. Nothing is lost: these groups stand."),
}


@dataclass(frozen=True)
class Panel:
    """running: ask again soon. enough: the coach has said so. news: there is another plan than the one shown."""

    text: str
    running: bool = False
    enough: bool = False
    again: bool = False
    news: bool = False


def panel(session: Session, plan: PlanView | None, *, full: bool) -> Panel | None:
    """None where there is nothing to say of the plan that is shown."""
    think = queries.newest_think(session.pk)
    if plan is None or think is None:
        return None
    outcome = Think.Outcome.INTERRUPTED if queries.is_silent(think) else think.outcome
    if not outcome:
        return Panel(_running(think, full=full), running=True, enough=think.enough)
    told_of = think.result_id or think.base_id
    if plan.id not in (told_of, think.base_id):
        return None
    again = outcome in (Think.Outcome.INTERRUPTED, Think.Outcome.FAILED)
    return Panel(str(ENDED[Think.Outcome(outcome)]), again=again, news=plan.id != told_of)


def _running(think: Think, *, full: bool) -> str:
    if think.heard_at is None:
        return _("Waiting to look for fairer groups …")
    if think.enough:
        return _("Taking the best so far …")
    if think.score is None or think.bound is None:
        return _("Looking for fairer groups …")
    if full:
        figures = {"score": f"{think.score:.2f}", "bound": f"{think.bound:.2f}"}
        return (
            _("Looking for fairer groups: fairness %(score)s (0 is perfect), best possible at least %(bound)s.")
            % figures
        )
    share = round(100 * (1 - think.bound / think.score)) if think.score else 0
    return _("Looking for fairer groups: the fairest possible would differ by at most %(share)d %% less.") % {
        "share": share
    }
