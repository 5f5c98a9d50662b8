"""What is asked of a handicap race."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _l

from clubapp.engine import handicap as engine_handicap
from clubapp.games.asking import TimedGameForm
from clubapp.games.likely import tests

How, Aim, Rule = engine_handicap.How, engine_handicap.Aim, engine_handicap.Rule


class HandicapForm(TimedGameForm):
    how = forms.ChoiceField(
        label=_l("A head start in"),
        choices=[
            (How.METRES.value, _l("metres: all start together, on marks")),
            (How.SECONDS.value, _l("whole seconds: each on a count that is called out")),
        ],
        widget=forms.RadioSelect,
    )
    aim = forms.ChoiceField(
        label=_l("Marks are made so that"),
        choices=[
            (Aim.CHANCES.value, _l("everybody is as likely to win as the others")),
            (Aim.TOGETHER.value, _l("all come in together if each runs the likely time")),
        ],
        widget=forms.RadioSelect,
    )
    rule = forms.ChoiceField(
        label=_l("After a race marks move"),
        choices=[
            (Rule.FILTER.value, _l("towards what was run, the more the less is known of a child")),
            (Rule.HALF_WAY.value, _l("half-way from what was expected to what was run")),
        ],
        widget=forms.RadioSelect,
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        """Marks need something that was, or could be, timed."""
        super().__init__(*args, **kwargs)
        field = self.fields["test"]
        assert isinstance(field, forms.ChoiceField)
        field.required = True
        field.choices = [(test.code, test.name) for test in tests(self.present.session.club)]
        field.help_text = _l("What is run. Times of a handicap race stay with the game: they are no timed test.")
