"""What every form of a new game has: who is in, which kind, and over which timed test children are likely to run."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy as _l

from clubapp.games.likely import tests
from clubapp.games.present import Present


class Children(forms.Field):
    """Ids, one tick each; anything else is thrown out."""

    widget = forms.MultipleHiddenInput

    def to_python(self, value: Any) -> frozenset[UUID]:
        return frozenset(child for text in value or () if (child := _uuid(text)))


def _uuid(text: Any) -> UUID | None:
    try:
        return UUID(str(text))
    except ValueError:
        return None


class GameForm(forms.Form):
    """children: who is in, as an adult ticked."""

    children = Children(required=False)

    def __init__(self, *args: Any, present: Present, least: int = 2, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.present, self.least = present, least

    def clean_children(self) -> frozenset[UUID]:
        chosen: frozenset[UUID] = self.cleaned_data["children"] & self.present.able
        if len(chosen) < self.least:
            raise ValidationError(_("Tick at least %(n)d children who are here."), params={"n": self.least})
        return chosen

    def wishes(self) -> dict[str, Any]:
        """As they are stored; only after `is_valid`."""
        return {name: value for name, value in self.cleaned_data.items() if name != "children"}


class TimedGameForm(GameForm):
    """A game for which it matters how quick children are. test: its code, or "" for none."""

    test = forms.ChoiceField(
        label=_l("Over"), required=False, help_text=_l("The timed test that is run; its times are kept as results.")
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        known = [(test.code, test.name) for test in tests(self.present.session.club)]
        field = self.fields["test"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [("", _("something that is not timed")), *known]
