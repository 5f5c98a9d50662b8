"""What is asked of a chasing game, and what is tapped while it runs."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _l

from clubapp.games.asking import GameForm
from clubapp.games.state import GameView
from clubapp.register.forms import TapForm


class ChasingForm(GameForm):
    minutes = forms.IntegerField(label=_l("Minutes in all"), min_value=1, max_value=30)
    spell_s = forms.IntegerField(label=_l("Seconds of a turn"), min_value=15, max_value=180)
    rest_s = forms.IntegerField(label=_l("Seconds to breathe between turns"), min_value=5, max_value=120)
    chasers = forms.IntegerField(
        label=_l("Chasers at a time"),
        min_value=1,
        max_value=12,
        required=False,
        help_text=_l("Empty: as many as it takes that no set of chasers is hopeless."),
    )
    gap = forms.FloatField(
        label=_l("Years of age apart at most"),
        min_value=1,
        max_value=12,
        widget=forms.NumberInput(attrs={"step": "0.5"}),
        help_text=_l("Above it the field is cut in two by age. Four is our rule of thumb; no published figure."),
    )

    def clean_gap(self) -> float:
        return float(self.cleaned_data["gap"])


class HalvesForm(ChasingForm):
    """Half of them chase, however many that are."""

    chasers = None  # type: ignore[assignment]


class LastForm(ChasingForm):
    back = forms.BooleanField(
        label=_l("Who is out comes back by a task"),
        required=False,
        help_text=_l("After 60 seconds at the latest: nobody stands and watches for long."),
    )
    task = forms.CharField(label=_l("The task"), max_length=60, required=False)


class TouchForm(TapForm):
    """part: the turn. who: the chaser, where somebody said which."""

    part = forms.IntegerField(min_value=1, max_value=200)
    round = forms.IntegerField(min_value=1, max_value=99, required=False)
    who = forms.UUIDField(required=False)
    whom = forms.UUIDField()

    def __init__(self, *args: Any, game: GameView, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.game = game

    def entry(self) -> dict[str, Any]:
        """Only after `is_valid`."""
        who = self.cleaned_data["who"]
        return {"who": str(who) if who else "", "whom": str(self.cleaned_data["whom"])}


class UntouchForm(TapForm):
    """of: the tap that is taken back."""

    of = forms.UUIDField()

    def __init__(self, *args: Any, game: GameView, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.game = game

    def entry(self) -> dict[str, Any]:
        return {"of": str(self.cleaned_data["of"])}
