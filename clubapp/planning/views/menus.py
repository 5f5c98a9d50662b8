"""A session suggested from aims, minutes, children, ground, kit and adults."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import HttpResponse, QueryDict
from django.shortcuts import redirect, render
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_POST

from clubapp.engine.menu import violations
from clubapp.people.requests import SignedIn
from clubapp.planning import access, actions, menu_page, queries
from clubapp.planning.actions import PlanError
from clubapp.planning.expected import Expected, expected_at
from clubapp.planning.menu_form import MenuForm, as_usual, sent_in
from clubapp.planning.menu_page import Suggestion

STATE = ("aims", "children", "youngest", "oldest", "adults", "stations", "wide", "long", "repeats")


@login_required
@require_GET
def menu(request: SignedIn, session_id: UUID) -> HttpResponse:
    """Every tap is an address of its own, so that going back undoes it; nothing is written before "take it"."""
    row = access.coached_session_for(request.user, session_id)
    expected = expected_at(row)
    asked = "go" in request.GET or "swap" in request.GET
    form = MenuForm(request.GET if asked else None, initial=as_usual(row, expected))
    context: dict[str, Any] = {"session": row, "form": form, "expected": expected, "kit": queries.kit_of(row.club)}
    if asked and form.is_valid():
        shown = menu_page.suggest(row, form.ask(expected, row), sent_in(request.GET))
        context |= _shown(shown, expected, request.GET)
    return render(request, "planning/menu.html", context, status=422 if form.errors else 200)


def _shown(shown: Suggestion, expected: Expected, data: QueryDict) -> dict[str, Any]:
    context: dict[str, Any] = {"shown": shown, "clashes": menu_page.clashes(shown, data)}
    if shown.answer is None:
        return context
    return context | {
        "parts": menu_page.parts(shown),
        "turns": menu_page.turn_words(shown),
        "how_good": menu_page.how_good(shown),
        "unheld": menu_page.unheld(shown),
        "load": list(menu_page.load_notes(shown, expected)),
        "state": [(name, value) for name in STATE for value in data.getlist(name)],
    }


@login_required
@require_POST
def menu_take(request: SignedIn, session_id: UUID) -> HttpResponse:
    """The menu as it was shown; one that no longer keeps the rules is shown anew instead."""
    row = access.coached_session_for(request.user, session_id)
    expected, form = expected_at(row), MenuForm(request.POST)
    if not form.is_valid():
        messages.error(request, _("That could not be read. Suggest it again."))
        return redirect("planning:menu", row.pk)
    shown = menu_page.suggest(row, form.ask(expected, row), sent_in(request.POST))
    if shown.outcome or shown.answer is None or violations(shown.problem, shown.answer):
        messages.error(request, _("Activities or kit changed meanwhile, and this no longer fits. Suggest it again."))
        return redirect("planning:menu", row.pk)
    try:
        parts, stations = menu_page.wholes(shown), menu_page.chosen(shown)
        actions.take_menu(session=row, parts=parts, stations=stations, by=request.user)
    except PlanError as error:
        messages.error(request, str(error))
        return redirect("planning:session", row.pk)
    messages.success(request, _("It stands in the session. Groups and rotation come next."))
    return redirect("planning:session", row.pk)
