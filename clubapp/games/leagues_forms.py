"""What is asked of small-sided and wall games, and the score of one of them."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from clubapp.engine import league as engine_league
from clubapp.games.asking import GameForm
from clubapp.games.leagues import MOST_TEAMS
from clubapp.games.state import GameView
from clubapp.register.forms import TapForm

TEAMS, PAIRS = engine_league.Kind.TEAMS, engine_league.Kind.PAIRS
MOST_GOALS = 99


class LeagueForm(GameForm):
    teams = forms.IntegerField(label=_l("Teams"), min_value=2, max_value=MOST_TEAMS)
    pitches = forms.IntegerField(label=_l("Pitches or walls"), min_value=1, max_value=8)
    minutes = forms.IntegerField(label=_l("Minutes in all"), min_value=2, max_value=120)
    each = forms.IntegerField(label=_l("Minutes a game, with the change"), min_value=1, max_value=30)
    ends = forms.ChoiceField(
        label=_l("A game is over"),
        choices=[
            ("clock", _l("when its time is")),
            ("first", _l("when a side is first to so many")),
            ("best", _l("best of so many")),
        ],
        widget=forms.RadioSelect,
    )
    goals = forms.IntegerField(label=_l("So many"), min_value=1, max_value=50)
    lead = forms.IntegerField(label=_l("Ahead by at least"), min_value=1, max_value=5)
    again = forms.BooleanField(label=_l("Everybody meets everybody twice, with sides changed"), required=False)
    apart = forms.BooleanField(label=_l("Keep pairs apart whom the club keeps apart"), required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        data.setdefault("how", TEAMS.value)
        if data.get("ends") == "best" and (data.get("goals") or 1) % 2 == 0:
            self.add_error("goals", ValidationError(_("Best of an odd number, so that somebody wins: 3, 5 or 7.")))
        return data


class WallForm(LeagueForm):
    how = forms.ChoiceField(
        label=_l("Who plays together"),
        choices=[(TEAMS.value, _l("the same team all the time")), (PAIRS.value, _l("two, a new partner each game"))],
        widget=forms.RadioSelect,
    )
    field_order = ("how",)


class ScoreForm(TapForm):
    """Both left empty: the game was not played after all."""

    part = forms.IntegerField(min_value=1, max_value=999, widget=forms.HiddenInput)
    round = forms.IntegerField(min_value=1, max_value=99, widget=forms.HiddenInput)
    first = forms.IntegerField(label=_l("First"), min_value=0, max_value=MOST_GOALS, required=False)
    second = forms.IntegerField(label=_l("Second"), min_value=0, max_value=MOST_GOALS, required=False)

    def __init__(self, *args: Any, game: GameView, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.game = game

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if not self.errors and (data["first"] is None) != (data["second"] is None):
            empty = "first" if data["first"] is None else "second"
            self.add_error(empty, ValidationError(_("Write both, or leave both empty if the game was not played.")))
        return data

    def entry(self) -> dict[str, Any]:
        """Only after `is_valid`."""
        first, second = self.cleaned_data["first"], self.cleaned_data["second"]
        return {"goals": None if first is None else [first, second]}
