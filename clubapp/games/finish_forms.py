"""How a race came in, as it was tapped and typed: heats, handicap races, relays."""

from __future__ import annotations

from decimal import ROUND_HALF_UP
from typing import Any

from django import forms
from django.utils.translation import gettext as _

from clubapp.engine.heats import State
from clubapp.games.state import GameView
from clubapp.people import cells
from clubapp.register.forms import TapForm

LONGEST_MS = 3_600_000
WAYS = ("hand", "electronic")


class FinishForm(TapForm):
    """A race as it came in: for each who ran a place, a time or what else happened, in fields named by its id.

    A time that is still what the stop-watch took is the stop-watch's; any other was typed.
    """

    part = forms.IntegerField(min_value=1, widget=forms.HiddenInput)
    round = forms.IntegerField(min_value=1, widget=forms.HiddenInput)

    def __init__(self, *args: Any, game: GameView, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.game = game

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        places, times, states, watch = {}, {}, {}, {}
        for child in self.named():
            if state := self._state(child):
                states[child] = state
                continue
            if (place := self._place(child)) is not None:
                places[child] = place
            if (ms := self._time(child)) is not None:
                times[child] = ms
                if way := self._by_watch(child, ms):
                    watch[child] = way
        data["said"] = {"places": places, "times": times, "states": states, "watch": watch}
        return data

    def named(self) -> list[str]:
        """Only fields that end in one of these are looked at: here the children of the draw."""
        return [str(child) for child in self.game.draw.children]

    def _text(self, name: str, child: str) -> str:
        return str(self.data.get(f"{name}_{child}", "")).strip()

    def _state(self, child: str) -> str:
        text = self._text("state", child)
        known = {state.value for state in State if state is not State.FINISHED}
        if text and text not in known:
            self.add_error(None, _("Choose what happened from the list."))
        return text if text in known else ""

    def _place(self, child: str) -> int | None:
        text = self._text("place", child)
        if not text:
            return None
        if not text.isascii() or not text.isdecimal() or not 1 <= int(text[:3]) <= 99 or len(text) > 2:
            self.add_error(None, _("A place is a whole number from 1: “%(text)s” is not.") % {"text": text[:12]})
            return None
        return int(text)

    def _time(self, child: str) -> int | None:
        text = self._text("time", child)
        try:
            seconds = cells.seconds_cell(text[:12]) if text else None
        except cells.CellError as error:
            self.add_error(None, str(error))
            return None
        if seconds is None:
            return None
        ms = int((seconds * 1000).to_integral_value(ROUND_HALF_UP))
        if not 1 <= ms <= LONGEST_MS:
            self.add_error(None, _("Write the seconds with a point, like 7.4: “%(text)s” is not.") % {"text": text})
            return None
        return ms

    def _by_watch(self, child: str, ms: int) -> str:
        way = self._text("way", child)
        return way if self._text("watch", child) == str(ms) and way in WAYS else ""

    def entry(self) -> dict[str, Any]:
        """Only after `is_valid`."""
        said: dict[str, Any] = self.cleaned_data["said"]
        return said
