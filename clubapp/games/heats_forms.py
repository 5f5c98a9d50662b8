"""What is asked of heats, and how a heat came in."""

from __future__ import annotations

from decimal import ROUND_HALF_UP
from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from clubapp.engine import heats as engine_heats
from clubapp.games import heats_rounds
from clubapp.games.asking import TimedGameForm
from clubapp.games.state import GameView
from clubapp.people import cells
from clubapp.register.forms import TapForm

MOST_LANES = 12
LONGEST_MS = 3_600_000
WAYS = ("hand", "electronic")
Mode, Draw, State = engine_heats.Mode, engine_heats.LaneDraw, engine_heats.State


class HeatsForm(TimedGameForm):
    lanes = forms.IntegerField(label=_l("Lanes"), min_value=2, max_value=MOST_LANES)
    mode = forms.ChoiceField(
        label=_l("The heats are"),
        choices=[
            (Mode.EVEN.value, _l("each as strong as the others")),
            (Mode.LIKE.value, _l("like with like")),
            (Mode.OPEN.value, _l("by lot")),
        ],
        widget=forms.RadioSelect,
    )
    after = forms.ChoiceField(
        label=_l("After the heats"),
        choices=[
            (heats_rounds.FOR_ALL, _l("a final for everybody, with those of like places")),
            (heats_rounds.BEST, _l("one final: by place, then by time")),
            (heats_rounds.NOTHING, _l("nothing")),
        ],
        widget=forms.RadioSelect,
    )
    draw = forms.ChoiceField(
        label=_l("Lanes are drawn"),
        choices=[
            (Draw.LOT.value, _l("by lot")),
            (Draw.STRAIGHT.value, _l("straight: the quickest in the middle")),
            (Draw.BEND.value, _l("with a bend: the quickest outside the middle")),
            (Draw.LAP.value, _l("a whole lap")),
        ],
    )
    apart = forms.BooleanField(label=_l("Keep pairs apart whom the club keeps apart"), required=False)


class FinishForm(TapForm):
    """One heat as it came in: for each child a place, a time or what else happened, in fields named by its id.

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
        for child in self._named():
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

    def _named(self) -> list[str]:
        """Only fields that end in a child of this draw are looked at."""
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
