"""The forms of each kind of game: what is asked of a new one, and what is entered on the field."""

from __future__ import annotations

from typing import Any

from django import forms
from django.http import QueryDict

from clubapp.games.asking import GameForm
from clubapp.games.chasing import CHASING
from clubapp.games.chasing_forms import ChasingForm, HalvesForm, LastForm, TouchForm, UntouchForm
from clubapp.games.finish_forms import FinishForm
from clubapp.games.handicaps_forms import HandicapForm
from clubapp.games.heats_forms import HeatsForm
from clubapp.games.leagues_forms import LeagueForm, ScoreForm, WallForm
from clubapp.games.present import Present
from clubapp.games.relays_forms import RelayForm, TeamsForm
from clubapp.games.state import GameView, Kind
from clubapp.games.stopgo_forms import RunForm, StopGoForm

ASKED: dict[str, type[GameForm]] = {
    "heats": HeatsForm,
    "handicaps": HandicapForm,
    "relays": RelayForm,
    "freeze": ChasingForm,
    "chain": ChasingForm,
    "halves": HalvesForm,
    "last": LastForm,
    "stopgo": StopGoForm,
    "small": LeagueForm,
    "wall": WallForm,
}
# By kind and word: each form takes game= and answers with `entry()`, and sends `part` and `round`.
ENTERED: dict[tuple[str, str], type[Any]] = {
    ("heats", "finish"): FinishForm,
    ("handicaps", "finish"): FinishForm,
    ("relays", "finish"): TeamsForm,
    ("stopgo", "finish"): RunForm,
    ("small", "score"): ScoreForm,
    ("wall", "score"): ScoreForm,
    **{(kind.code, "touch"): TouchForm for kind in CHASING},
    **{(kind.code, "untouch"): UntouchForm for kind in CHASING},
}


class ChildForm(forms.Form):
    athlete = forms.UUIDField()


def asked(
    kind: Kind, present: Present, data: QueryDict | None = None, wishes: dict[str, Any] | None = None
) -> GameForm:
    """The form of a new game, as sent or filled with wishes."""
    return ASKED[kind.code](data, initial=wishes, present=present, least=kind.least)


def entered(view: GameView, data: QueryDict) -> Any:
    """The form for what was tapped, or None: no such thing is entered in this kind of game."""
    form = ENTERED.get((view.kind, data.get("what", "")))
    return form(data, game=view) if form else None
