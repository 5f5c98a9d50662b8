"""The leader fits the plan to what has happened while the bell runs: the round comes from the bell."""

from __future__ import annotations

from functools import partial

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_http_methods, require_POST

from clubapp.live import page, queries
from clubapp.live.access import Watcher
from clubapp.live.actions import RefusedError
from clubapp.live.actions.replan import replan, take_back
from clubapp.live.page import Evening
from clubapp.live.views import common
from clubapp.rotation import access, repair_asking
from clubapp.rotation import queries as rotation
from clubapp.rotation.actions import RefusedError as PlanRefusedError
from clubapp.rotation.forms import UndoForm
from clubapp.rotation.queries import PlanView
from clubapp.rotation.repair_asking import Asking, Wish


@common.leading
@require_http_methods(["GET", "POST"])
def repair(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """What has happened, and what would be done about it. A tap on a child in the register leads here by POST."""
    session = watcher.session
    if request.method == "POST":
        return redirect("live:repair", session.pk)
    evening = page.evening_of(watcher)
    plan, first = evening.newest, evening.next_round
    if plan is None or not rotation.is_running(session.pk) or not evening.state.started:
        return redirect("rotation:plan", session.pk)
    if first is None:
        messages.error(request, _("The last round has begun: nothing is left to plan. A child can be placed by hand."))
        return redirect(f"{reverse('rotation:plan', args=[session.pk])}#result")
    asking = _asking(request, evening, plan, first)
    form = asking.form(request.GET)
    context = repair_asking.context(asking, form, request.GET.get("open", ""))
    return render(request, "live/repair.html", context, status=200 if form.is_valid() else 422)


def _asking(request: HttpRequest, evening: Evening, plan: PlanView, first: int) -> Asking:
    session = evening.session
    look, take_it = (reverse(f"live:{name}", args=[session.pk]) for name in ("repair", "replan"))
    full = access.may_know_rules(common.account(request), session.club_id)
    ends = (evening.seen.ends_ms or 0) / 1000
    return Asking(
        session,
        plan,
        look,
        take_it,
        full,
        round=first,
        first=first,
        keepers=queries.holders(session.pk),
        behind_s=max(0, round(ends - session.ends_at.timestamp())),
        late_s=round(ends - session.starts_at.timestamp()) - plan.seconds if ends else 0,
    )


@common.leading
@require_POST
def take(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """Take one of the plans that were shown; every phone hears from which round on it counts."""
    evening, row = page.evening_of(watcher), rotation.newest(watcher.session.pk)
    if row is None:
        return redirect("rotation:plan", watcher.session.pk)
    asking = _asking(request, evening, rotation.shown(row), evening.next_round or len(row.answer["rounds"]))
    form = asking.form(request.POST)
    try:
        wish = repair_asking.wished(asking, form, request.POST)
        replan(by=watcher, plan=row, wish=wish, device=common.device_of(request))
    except (RefusedError, PlanRefusedError) as error:
        messages.error(request, str(error))
        return redirect(_again(asking, request.POST))
    messages.success(request, _said(wish))
    return redirect("live:bell", watcher.session.pk)


def _again(asking: Asking, sent: QueryDict) -> str:
    """The page with what was chosen, and the round by the bell."""
    form = asking.form(sent)
    return f"{asking.look}?{form.query('round')}" if form.is_valid() else asking.look


def _said(wish: Wish) -> str:
    """From when it counts, and who is with the leader until then."""
    case = wish.case
    text = _("The new plan counts from round %(n)d on.") % {"n": case.at_round}
    names = sorted((case.names[child] for child in case.late), key=str.casefold)
    if names:
        text += " " + _("Until then with you: %(names)s.") % {"names": ", ".join(names)}
    return text


@common.leading
@require_POST
def undo(request: HttpRequest, watcher: Watcher) -> HttpResponse:
    """The plan before, within ten seconds and only if none of the new one has begun."""
    form = UndoForm(request.POST)
    act = partial(take_back, by=watcher, device=common.device_of(request))
    try:
        if form.is_valid():
            act(version=form.cleaned_data["version"])
    except RefusedError as error:
        messages.error(request, str(error))
    return redirect("live:bell", watcher.session.pk)
