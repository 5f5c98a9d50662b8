"""What is asked of a relay, and how its teams came in."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _l

from clubapp.engine import relay as engine_relay
from clubapp.games.asking import TimedGameForm
from clubapp.games.finish_forms import FinishForm
from clubapp.games.relays_shown import numbers

MOST_TEAMS = 12
Way, Order = engine_relay.Kind, engine_relay.Order


class RelayForm(TimedGameForm):
    teams = forms.IntegerField(label=_l("Teams"), min_value=2, max_value=MOST_TEAMS)
    course = forms.ChoiceField(
        label=_l("The course"),
        choices=[(Way.SHUTTLE.value, _l("to and fro between two lines")), (Way.CIRCUIT.value, _l("round and round"))],
        widget=forms.RadioSelect,
    )
    order = forms.ChoiceField(
        label=_l("Who runs which leg"),
        choices=[
            (Order.EVEN_LEGS.value, _l("in each leg those meet who are about as quick as each other")),
            (Order.LOT.value, _l("by lot")),
            (Order.QUICK_LAST.value, _l("the quickest last")),
            (Order.QUICK_FIRST.value, _l("the quickest first")),
        ],
        widget=forms.RadioSelect,
    )
    leg_m = forms.IntegerField(
        label=_l("Metres a leg, if not as long as the timed test"), required=False, min_value=5, max_value=2000
    )
    apart = forms.BooleanField(label=_l("Keep pairs apart whom the club keeps apart"), required=False)


class TeamsForm(FinishForm):
    def named(self) -> list[str]:
        return numbers(self.game.draw)
