"""Term points: team totals for whoever works with the squad, single children for the head coach alone."""

from __future__ import annotations

from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_GET, require_POST

from clubapp.games import access, actions
from clubapp.games import term as term_page
from clubapp.games.actions import RefusedError, Wanted
from clubapp.games.term_forms import TermForm, usual
from clubapp.people.models import Squad
from clubapp.register.views.common import adult


@login_required
@require_GET
def term(request: HttpRequest, squad_id: UUID) -> HttpResponse:
    squad = access.squad_for(request.user, squad_id)
    form = TermForm(initial=usual(squad.club.today(), len(term_page.children_of(squad))))
    return _shown(request, squad, form)


def _shown(request: HttpRequest, squad: Squad, form: TermForm, refused: str = "") -> HttpResponse:
    coaches = access.may_rank_squad(request.user, squad)
    context = {"page": term_page.page(squad), "coaches": coaches, "form": form, "refused": refused}
    return render(request, "games/term.html", context, status=422 if form.is_bound else 200)


@login_required
@require_POST
def begin(request: HttpRequest, squad_id: UUID) -> HttpResponse:
    squad, form = access.coached_squad(request.user, squad_id), TermForm(request.POST)
    if not form.is_valid():
        return _shown(request, squad, form)
    try:
        actions.begin_term(squad=squad, wanted=Wanted(**form.cleaned_data), by=adult(request))
    except RefusedError as error:
        return _shown(request, squad, form, str(error))
    return redirect("games:term", squad.pk)


@login_required
@require_POST
def fit(request: HttpRequest, squad_id: UUID) -> HttpResponse:
    """Whoever came to the squad since the teams were made."""
    squad = access.coached_squad(request.user, squad_id)
    try:
        actions.join_term(squad=squad, by=adult(request))
    except RefusedError as error:
        messages.error(request, str(error))
    return redirect("games:term", squad.pk)


@login_required
@require_POST
def off(request: HttpRequest, squad_id: UUID) -> HttpResponse:
    squad = access.coached_squad(request.user, squad_id)
    actions.end_term(squad=squad, by=adult(request))
    return redirect("games:term", squad.pk)


@login_required
@require_GET
def order(request: HttpRequest, squad_id: UUID) -> HttpResponse:
    """Single children in order."""
    squad = access.coached_squad(request.user, squad_id)
    row = term_page.term_of(squad)
    rows = term_page.child_rows(row) if row else []
    return render(request, "games/term_order.html", {"squad": squad, "rows": rows})
