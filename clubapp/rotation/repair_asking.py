"""One look at the page on which a coach says what has happened, wherever it stands; and what was wished of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any
from uuid import UUID

from django.http import QueryDict
from django.utils.translation import gettext as _

from clubapp.planning import queries as planning
from clubapp.planning.models import Session
from clubapp.register.actions import Said
from clubapp.rotation import queries, repair_options, repair_page
from clubapp.rotation.actions import RefusedError, case_of, chosen
from clubapp.rotation.building import Clash
from clubapp.rotation.evening import names_for
from clubapp.rotation.queries import PlanView
from clubapp.rotation.repair_forms import ChangesForm, Ground, SaidForm
from clubapp.rotation.repairing import Case, Offer


@dataclass(frozen=True)
class Asking:
    """look, take: addresses of the page and of its buttons. full: whether this adult may know pair rules and skill.

    first: the first round that may still be changed; round: the one asked first. keepers: by station, the names of the
    adults who look after it. Where the bell runs, behind_s: how much later it
    ends than the session was to; late_s: than the plan says, when it began late or stood still.
    """

    session: Session
    plan: PlanView
    look: str
    take: str
    full: bool
    round: int = 1
    first: int = 1
    keepers: Mapping[UUID, list[str]] = field(default_factory=dict)
    behind_s: int = 0
    late_s: int = 0

    def form(self, sent: QueryDict) -> ChangesForm:
        stations, coming = tuple(planning.stations(self.session)), tuple(queries.may_come(self.session))
        return ChangesForm(sent, Ground(self.plan, stations, coming, self.round, self.first))


@dataclass(frozen=True)
class Wish:
    """A plan that was tapped, and what the register is told with it."""

    case: Case
    offer: Offer
    said: Mapping[UUID, Said]


def context(asking: Asking, form: ChangesForm, opened: str = "") -> dict[str, Any]:
    """What the template needs. opened: the kind of change whose list stands open."""
    valid = form.is_valid()
    kinds = repair_options.kinds(_field(asking, form), opened)
    known = {
        "asking": asking,
        "session": asking.session,
        "plan": asking.plan,
        "form": form,
        "kinds": kinds,
        "chosen": repair_options.chosen(kinds),
    }
    return known | (_offered(asking, form) if valid else {})


def _field(asking: Asking, form: ChangesForm) -> repair_options.Field:
    coming, plan = tuple(queries.may_come(asking.session)), asking.plan
    here = frozenset(queries.taking_part(asking.session.pk))
    return repair_options.Field(
        form=form,
        plan=plan,
        stations=tuple(planning.stations(asking.session)),
        names=names_for(asking.session, {*coming, *plan.placed, *here}),
        here=here,
        may_come=coming,
        keepers=asking.keepers,
        behind_s=asking.behind_s,
    )


def _offered(asking: Asking, form: ChangesForm) -> dict[str, Any]:
    try:
        case = case_of(asking.session, asking.plan, form.changes(), form.cleaned_data["round"])
    except RefusedError as error:
        return {"refused": str(error)}
    known = {"facts": repair_page.facts(case), "case": case, "stations": case.evening.stations}
    if case.nothing:
        return known
    found = repair_page.proposals(case, full=asking.full, late_s=asking.late_s)
    if isinstance(found, Clash):
        return {**known, "clash": repair_page.ways_out(case, found, form, full=asking.full)}
    return {**known, "proposals": found, "said": SaidForm(None, case)}


def wished(asking: Asking, form: ChangesForm, sent: QueryDict) -> Wish:
    """The plan that was tapped, found again from what was sent.

    Raises:
        RefusedError: it is not what was shown any more, or the register lacks an adult's word.
    """
    if not form.is_valid():
        raise RefusedError(_("Something changed meanwhile: look at it again."))
    case = case_of(asking.session, asking.plan, form.changes(), form.cleaned_data["round"])
    words = SaidForm(sent, case)
    if not words.is_valid():
        texts = [f"{words[name].label} {' '.join(map(str, errors))}" for name, errors in words.errors.items()]
        raise RefusedError(" ".join(texts))
    key, _colon, mark = sent.get("offer", "").partition(":")
    found = chosen(case, (key, mark))
    if isinstance(found, Clash):
        raise RefusedError(_("Something changed meanwhile: look at it again."))
    return Wish(case, found, words.said())
