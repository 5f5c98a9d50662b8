"""What the head coach writes to families, and to whose."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from django import forms
from django.utils.formats import date_format
from django.utils.translation import gettext_lazy as _

from clubapp.people.models import Squad
from clubapp.planning.models import Session


class MessageForm(forms.Form):
    """to: a squad, or one of the coming sessions, each by its id."""

    to = forms.ChoiceField(label=_("To the families of"))
    text = forms.CharField(
        label=_("Message"),
        max_length=1500,
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text=_("Every family reads it, also as a mail: no child's name, nothing about health."),
    )

    def __init__(self, *args: Any, squads: Iterable[Squad], sessions: Iterable[Session], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.squads = {str(squad.pk): squad for squad in squads}
        self.sessions = {str(session.pk): session for session in sessions}
        field = self.fields["to"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [
            *((pk, squad.name) for pk, squad in self.squads.items()),
            *((pk, self._words(session)) for pk, session in self.sessions.items()),
        ]

    @staticmethod
    def _words(session: Session) -> str:
        return f"{session.squad.name}, {date_format(session.date, 'D j M')}, {session.starts:%H:%M}"

    def whom(self) -> tuple[Squad, Session | None]:
        """Only after `is_valid`."""
        to = self.cleaned_data["to"]
        session = self.sessions.get(to)
        return (session.squad if session else self.squads[to]), session
