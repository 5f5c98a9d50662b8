"""The pages of games."""

from __future__ import annotations

import uuid
from collections.abc import Callable
from functools import partial
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.contrib.auth.decorators import login_required
from django.http import Http404, HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils.translation import gettext as _
from django.views.decorators.http import require_GET, require_http_methods, require_POST
from django.views.decorators.vary import vary_on_headers

from clubapp.core import keeping
from clubapp.core.device import device_of
from clubapp.core.tell import version_of
from clubapp.games import access, actions, forms, queries
from clubapp.games.actions import Order, RefusedError, Saying
from clubapp.games.asking import GameForm
from clubapp.games.kinds import kind_of, known_kind
from clubapp.games.models import Game
from clubapp.games.page import list_of, page_of, rows_of, usual, viewer_of
from clubapp.games.present import Present, present_of
from clubapp.games.state import GameView, Kind
from clubapp.register.actions import OtherTapError
from clubapp.register.forms import TapForm
from clubapp.register.views.common import adult, wants_json

SURE = "yes"
TYPED = ("place", "time", "state", "moved")


@login_required
@require_GET
def games(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """The games of a session, and every kind there is to begin with a tap."""
    session = access.session_for(request.user, session_id)
    return render(request, "games/games.html", {"page": list_of(request.user, session), "session": session})


@login_required
@require_GET
def new(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """The children who are here, ticked, and last time's settings: one tap makes the game."""
    session = access.led_session_for(request.user, session_id)
    kind = kind_of(request.GET.get("kind", ""))
    if kind is None:
        return redirect("games:games", session.pk)
    present = present_of(session)
    return _asking(request, kind, present, forms.asked(kind, present, wishes=usual(kind, present)))


def _asking(request: HttpRequest, kind: Kind, present: Present, form: GameForm, **more: Any) -> HttpResponse:
    """Ticks as they were sent, or who is in without anybody saying so."""
    sent = form.fields["children"].clean(request.POST.getlist("children")) if form.is_bound else None
    rows = rows_of(present, sent)
    context = {"session": present.session, "kind": kind, "form": form, **more}
    context |= {"rows": [row for row in rows if not row.left_out], "easy": [row for row in rows if row.left_out]}
    return render(request, "games/new.html", context, status=422 if form.is_bound else 200)


@login_required
@require_POST
def make(request: HttpRequest, session_id: UUID) -> HttpResponse:
    """Ready to start; wishes that cannot be kept come back with the reason."""
    session = access.led_session_for(request.user, session_id)
    kind = kind_of(request.POST.get("kind", ""))
    if kind is None:
        return redirect("games:games", session.pk)
    present = present_of(session)
    form = forms.asked(kind, present, request.POST)
    if not form.is_valid():
        return _asking(request, kind, present, form, open_settings=True)
    order = Order(session, adult(request), kind, form.cleaned_data["children"], form.wishes())
    try:
        made = actions.make_game(order=order)
    except RefusedError as error:
        why = {"refused": str(error), "way_out": error.way_out}
        return _asking(request, kind, present, form, **why, open_settings=True)
    return redirect("games:game", session.pk, made.pk)


@login_required
@require_GET
@vary_on_headers("HX-Request")
def game(request: HttpRequest, session_id: UUID, game_id: UUID) -> HttpResponse:
    """Line-ups or teams, kept on phones: no places, times or chances stand here.

    An open page asks again and again whether what it shows was changed on another phone.
    """
    row = access.game_for(request.user, session_id, game_id)
    page = page_of(request.user, row)
    if request.headers.get("HX-Request") and request.GET.get("seen") == page.seen:
        return HttpResponse(status=204)
    return render(request, "games/game.html", {"page": page, "session": row.session, "new_id": uuid.uuid4})


@login_required
@require_http_methods(["GET", "HEAD", "POST"])
def enter(request: HttpRequest, session_id: UUID, game_id: UUID, part: int = 0) -> HttpResponse:
    """What happens on the field, by anybody who works in the session. Kept on the phone while nothing was entered."""
    row = access.game_for(request.user, session_id, game_id)
    if request.method == "POST":
        return _entered(request, row)
    return _entering(request, row, part or _number(request.GET.get("part")))


def _entering(request: HttpRequest, row: Game, part: int, form: Any = None, refused: str = "") -> HttpResponse:
    view, kind = queries.view_of(row), known_kind(row.kind)
    if kind.entering is None:
        return redirect(_home(row))
    present = present_of(row.session, view.children)
    try:
        shown = kind.entering(view, present, viewer_of(request.user, row.session), part)
    except RefusedError as error:
        return _back(request, row, error)
    if not shown.get("blank"):
        keeping.never(request)
    if form is not None:
        shown = _as_sent(shown, request)
    context = {"session": row.session, "game": row, "view": view, "shown": shown, "new_id": uuid.uuid4}
    context |= {"form": form, "refused": refused, "part": part, "kind": kind, "version": version_of(row.session_id)}
    return render(request, f"{kind.stem}_enter.html", context, status=422 if form else 200)


def _as_sent(shown: dict[str, Any], request: HttpRequest) -> dict[str, Any]:
    """What was typed is not lost: it takes the place of what is stored."""
    rows = [
        {**row, **{name: request.POST.get(f"{name}_{row['id']}", "") for name in TYPED}}
        for row in shown.get("rows", [])
    ]
    sides = [{**side, "typed": request.POST.get(side["field"], "")} for side in shown.get("sides", [])]
    return {**shown, "rows": rows, "sides": sides}


def _entered(request: HttpRequest, row: Game) -> HttpResponse:
    view, what = queries.view_of(row), request.POST.get("what", "")
    form = TapForm(request.POST) if what in ("begin", "on") else forms.entered(view, request.POST)
    if form is None:
        return _back(request, row, _("Tap what happened on the game's page."))
    if not form.is_valid():
        return _not_taken(request, row, form, _("Tap again: what was sent was not understood."))
    if asked := _doubts(request, row, view, form):
        return _entering(request, row, _number(request.POST.get("part")), form, asked)
    data = form.cleaned_data
    saying = Saying(what, data.get("round") or view.draw.round, data.get("part") or 0, _entry(form))
    try:
        answer = actions.enter(game=row, saying=saying, tap=form.tap(adult(request), device_of(request)))
    except RefusedError as error:
        return _not_taken(request, row, form, error)
    except OtherTapError:
        return _back(request, row, _("That tap was sent for something else already: look again."))
    return _done(request, answer, _after(request, row))


def _doubts(request: HttpRequest, row: Game, view: GameView, form: Any) -> str:
    """What is asked once about what was typed. A phone's script has asked before it sent."""
    kind = known_kind(row.kind)
    if kind.doubts is None or not hasattr(form, "entry") or wants_json(request):
        return ""
    asked = kind.doubts(view, row.session.club, form.entry())
    return "" if request.POST.get("sure") in (SURE, asked) else asked


def _done(request: HttpRequest, answer: dict[str, Any], after: str) -> HttpResponse:
    """To a phone's queue where to go on."""
    return JsonResponse({**answer, "next": after}) if wants_json(request) else redirect(after)


def _not_taken(request: HttpRequest, row: Game, form: Any, why: object) -> HttpResponse:
    """On the page where it was typed nothing is lost; what was tapped on the game's page is told there."""
    if wants_json(request) and form.errors:
        return JsonResponse({"errors": form.errors.get_json_data()}, status=422)
    if wants_json(request) or known_kind(row.kind).entering is None or request.POST.get("what") in ("begin", "on"):
        return _back(request, row, why)
    return _entering(request, row, _number(request.POST.get("part")), form, "" if form.errors else str(why))


def _entry(form: Any) -> dict[str, Any]:
    return form.entry() if hasattr(form, "entry") else {}


def _after(request: HttpRequest, row: Game) -> str:
    """On to the next heat where the page offered one."""
    part = _number(request.POST.get("next_part"))
    return reverse("games:enter_part", args=[row.session_id, row.pk, part]) if part else _home(row)


@login_required
@require_POST
def end(request: HttpRequest, session_id: UUID, game_id: UUID) -> HttpResponse:
    """The game is over; whoever runs the session says so, and can let it go on again."""
    row, form = access.led_game_for(request.user, session_id, game_id), TapForm(request.POST)
    what = "on" if "on" in request.POST else "end"
    if not form.is_valid():
        return _back(request, row, _("Tap again: the phone's clock was not understood."))
    tap = form.tap(adult(request), device_of(request))
    return _tried(request, row, partial(actions.enter, game=row, saying=Saying(what), tap=tap))


@login_required
@require_POST
def draw_next(request: HttpRequest, session_id: UUID, game_id: UUID) -> HttpResponse:
    row = access.led_game_for(request.user, session_id, game_id)
    return _tried(request, row, partial(actions.draw_next, game=row, by=adult(request)))


@login_required
@require_POST
def fit(request: HttpRequest, session_id: UUID, game_id: UUID) -> HttpResponse:
    """A late child, or one who goes easy and is now let in."""
    return _one_child(request, access.led_game_for(request.user, session_id, game_id), actions.fit_in)


@login_required
@require_POST
def out(request: HttpRequest, session_id: UUID, game_id: UUID) -> HttpResponse:
    return _one_child(request, access.led_game_for(request.user, session_id, game_id), actions.take_out)


def _one_child(request: HttpRequest, row: Game, act: Callable[..., Any]) -> HttpResponse:
    form = forms.ChildForm(request.POST)
    if not form.is_valid():
        return _back(request, row, _("Tap a child."))
    child = form.cleaned_data["athlete"]
    return _tried(request, row, partial(act, game=row, athlete_id=child, by=adult(request)))


@login_required
@require_POST
def drop(request: HttpRequest, session_id: UUID, game_id: UUID) -> HttpResponse:
    row = access.led_game_for(request.user, session_id, game_id)
    actions.drop_game(game=row, by=adult(request))
    return redirect("games:games", row.session_id)


@login_required
@require_GET
def standing(request: HttpRequest, session_id: UUID, game_id: UUID) -> HttpResponse:
    """Places, times and chances of single children: the head coach's alone, and kept on no phone."""
    row = access.ranked_game_for(request.user, session_id, game_id)
    view, kind = queries.view_of(row), known_kind(row.kind)
    if kind.standing is None:
        raise Http404
    shown = kind.standing(view, present_of(row.session, view.children))
    context = {"session": row.session, "game": row, "view": view, "kind": kind, "shown": shown}
    return render(request, f"{kind.stem}_order.html", context)


# What the taps have in common


def _tried(request: HttpRequest, row: Game, act: Callable[[], Any]) -> HttpResponse:
    try:
        answer = act()
    except (RefusedError, OtherTapError) as error:
        return _back(request, row, error)
    return _done(request, answer if isinstance(answer, dict) else {}, _home(row))


def _back(request: HttpRequest, row: Game, why: object) -> HttpResponse:
    if wants_json(request):
        return JsonResponse({"error": str(why)}, status=422)
    messages.error(request, str(why))
    return redirect(_home(row))


def _home(row: Game) -> str:
    return reverse("games:game", args=[row.session_id, row.pk])


def _number(text: str | None) -> int:
    return int(text) if text and text.isascii() and text.isdecimal() and len(text) < 4 else 0
