"""What is asked of a stop-and-go game, and how a run of it went."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from clubapp.games.asking import GameForm
from clubapp.games.finish_forms import FinishForm

MOST_MOVED = 99


class StopGoForm(GameForm):
    metres = forms.IntegerField(label=_l("Metres from the start to the caller"), min_value=5, max_value=60)
    moved = forms.ChoiceField(
        label=_l("Who moves at “still”"),
        choices=[("steps", _l("goes three long steps back")), ("line", _l("goes back to the start"))],
        widget=forms.RadioSelect,
    )
    pace = forms.ChoiceField(
        label=_l("They may run for"),
        choices=[("short", _l("1 to 3 s")), ("usual", _l("1.5 to 5 s")), ("long", _l("2.5 to 8 s"))],
        widget=forms.RadioSelect,
    )
    level = forms.BooleanField(
        label=_l("Whoever was first starts further back the next time"),
        required=False,
        help_text=_l("A tenth of the way, at most half of it: so that another child has the better chance."),
    )


class RunForm(FinishForm):
    """As children come over the line, and how often each moved, in fields named `moved_` and the id."""

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        moved = {}
        for child in self.named():
            text = self._text("moved", child)
            if not text:
                continue
            if not text.isascii() or not text.isdecimal() or len(text) > 2:
                self.add_error(
                    None, _("How often somebody moved is a whole number: “%(t)s” is not.") % {"t": text[:12]}
                )
            elif int(text):
                moved[child] = int(text)
        data["said"] = {"places": data["said"]["places"], "states": data["said"]["states"], "moved": moved}
        return data
