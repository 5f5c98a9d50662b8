"""What a stop-watch sends; or a time read off another watch and typed."""

from __future__ import annotations

from datetime import timedelta
from decimal import ROUND_HALF_UP
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clubapp.games.handicaps_watch import Race
from clubapp.games.models import Game
from clubapp.live.actions import Clocked, Timed
from clubapp.people import cells
from clubapp.people.models import Athlete
from clubapp.register.forms import TapForm
from clubapp.results.models import Result
from clubapp.results.starters import Starter

LONGEST_MS = 3_600_000 * 3
LONGEST_AGO_MS = 24 * 3_600_000
STATES = [(state.value, state.value) for state in Result.State if state.value]


class TimedForm(TapForm):
    """One child's time, in whole milliseconds or typed in seconds."""

    athlete = forms.UUIDField()
    trial = forms.CharField(max_length=40)
    station = forms.UUIDField(required=False)
    ms = forms.IntegerField(min_value=1, max_value=LONGEST_MS, required=False)
    seconds = forms.CharField(max_length=12, required=False)
    attempt = forms.IntegerField(min_value=1, max_value=99, required=False)
    state = forms.ChoiceField(choices=STATES, required=False)
    replaces = forms.UUIDField(required=False)
    ago_ms = forms.IntegerField(min_value=0, max_value=LONGEST_AGO_MS, required=False)
    doubtful = forms.BooleanField(required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("ms") is None and "ms" not in self.errors:
            data["ms"] = self._typed(data.get("seconds", ""))
        return data

    def _typed(self, text: str) -> int | None:
        try:
            seconds = cells.seconds_cell(text)
        except cells.CellError as error:
            self.add_error("seconds", str(error))
            return None
        ms = int((seconds * 1000).to_integral_value(ROUND_HALF_UP)) if seconds is not None else 0
        if not 1 <= ms <= LONGEST_MS:
            self.add_error("seconds", _("Write the seconds with a point, like 7.4."))
            return None
        return ms

    def timed(self, athlete: Athlete, test: Starter) -> Timed:
        """Only after `is_valid`."""
        data = self.cleaned_data
        ago = timedelta(milliseconds=data["ago_ms"] or 0)
        kept = {name: data[name] for name in ("ms", "state", "replaces", "doubtful")}
        return Timed(athlete, test, attempt=data["attempt"] or 1, ago=ago, **kept)

    def clocked(self, athlete: Athlete, game: Game, race: Race) -> Clocked:
        """The same of a handicap race. A run that slipped or was taken back has no time."""
        data = self.cleaned_data
        return Clocked(game, race.round, athlete, None if data["state"] else data["ms"], data["replaces"])
