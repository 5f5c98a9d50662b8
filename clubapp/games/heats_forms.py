"""What is asked of heats."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _l

from clubapp.engine import heats as engine_heats
from clubapp.games import heats_rounds
from clubapp.games.asking import TimedGameForm

MOST_LANES = 12
Mode, Draw = engine_heats.Mode, engine_heats.LaneDraw


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
