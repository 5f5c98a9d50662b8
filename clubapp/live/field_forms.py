"""What is tapped and written on the field: counts, where a child is, help, incident notes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import date, datetime, time, timedelta
from typing import Any
from uuid import UUID

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from clubapp.live.actions import Hearing, More, Word
from clubapp.live.models import Whereabouts
from clubapp.people.forms.fields import DayInput, WordsField
from clubapp.planning.models import Session, Station
from clubapp.register.forms import TapForm

Kind, Reason = Whereabouts.Kind, Whereabouts.Reason
MOST = 99  # more children than stand at any station
AREA = {"rows": 3}


class CountForm(TapForm):
    """So many at a station in a round."""

    round = forms.IntegerField(min_value=1, max_value=MOST)
    counted = forms.IntegerField(min_value=0, max_value=MOST)


SAID: dict[str, tuple[str, str]] = {
    "group": (Kind.GROUP, ""),
    "guest": (Kind.GUEST, ""),
    "missing": (Kind.MISSING, ""),
    **{reason: (Kind.AWAY, reason) for reason in (Reason.TOILET, Reason.FIRST_AID, Reason.ADULT)},
}


class WhereForm(TapForm):
    """Where one child is, one button each. station: where it was said. Out of the session only by an incident note."""

    athlete = forms.UUIDField()
    said = forms.ChoiceField(choices=[(name, name) for name in SAID])
    with_whom = WordsField(required=False, max_length=80)
    station = forms.UUIDField(required=False)
    round = forms.IntegerField(min_value=1, max_value=MOST, required=False)
    group = forms.IntegerField(min_value=0, max_value=MOST, required=False)
    count = forms.UUIDField(required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("said") == "guest" and (data.get("group") is None or data.get("round") is None):
            self.add_error("group", _("Say with which group, and in which round."))
        return data

    def word(self, station: Station | None) -> Word:
        data = self.cleaned_data
        kind, reason = SAID[data["said"]]
        names = ("with_whom", "round", "group", "count")
        return Word(kind, reason, station=station, **{name: data[name] for name in names})


class CallForm(TapForm):
    """Help, please."""

    round = forms.IntegerField(min_value=1, max_value=MOST, required=False)


class HeardForm(TapForm):
    """An adult sees to it, or has."""

    about = forms.UUIDField()
    settled = forms.BooleanField(required=False)
    round = forms.IntegerField(min_value=1, max_value=MOST, required=False)

    def hearing(self) -> Hearing:
        data = self.cleaned_data
        return Hearing(data["about"], data["settled"], data["round"])


class ClockInput(forms.TimeInput):
    """The phone's own clock face."""

    input_type = "time"

    def __init__(self, **named: Any) -> None:
        super().__init__(format="%H:%M", **named)


def instant_of(session: Session, at: time, now: datetime) -> datetime:
    """A time of day of the session's date on the club's clock; never later than now."""
    return min(datetime.combine(session.date, at, session.club.zone), now)


class IncidentForm(TapForm):
    """An incident note. `children`: the names of those who may be meant."""

    athlete = forms.ChoiceField(label=_("Which child"))
    at = forms.TimeField(label=_("When"), widget=ClockInput())
    station = forms.ChoiceField(label=_("Where"), required=False)
    what = forms.CharField(label=_("What happened"), max_length=4000, widget=forms.Textarea(attrs=AREA))
    head_injury = forms.BooleanField(
        label=_("A knock to the head, or the child seems dazed"),
        help_text=_("If in doubt, tick it. The child then takes no further part today."),
        required=False,
    )
    done = forms.CharField(label=_("What was done"), max_length=4000, required=False, widget=forms.Textarea(attrs=AREA))
    stays_with = WordsField(label=_("Who stays with the child"), max_length=80, required=False)
    told_whom = WordsField(label=_("Guardian told: whom"), max_length=80, required=False)
    told_at = forms.TimeField(label=_("Told when"), required=False, widget=ClockInput())

    def __init__(self, *args: Any, children: Mapping[UUID, str], stations: Iterable[Station], **named: Any) -> None:
        super().__init__(*args, **named)
        choice, place = self.fields["athlete"], self.fields["station"]
        assert isinstance(choice, forms.ChoiceField)
        assert isinstance(place, forms.ChoiceField)
        named_here = sorted(children.items(), key=lambda row: row[1].casefold())
        choice.choices = [("", _("choose")), *((str(child), name) for child, name in named_here)]
        place.choices = [("", _("somewhere else")), *((str(row.pk), f"{row.number} {row.name}") for row in stations)]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("head_injury") and not data.get("stays_with") and "stays_with" not in self.errors:
            self.add_error("stays_with", _("Say who stays with the child: nobody with a knock to the head is alone."))
        return data


class MoreForm(TapForm):
    """What is known later."""

    told_whom = WordsField(label=_("Guardian told: whom"), max_length=80, required=False)
    told_on = forms.DateField(label=_("Told on"), required=False, widget=DayInput())
    told_at = forms.TimeField(label=_("at"), required=False, widget=ClockInput())
    signs_gone_on = forms.DateField(label=_("All signs gone since"), required=False, widget=DayInput())
    words = forms.CharField(
        label=_("Anything to add"), max_length=4000, required=False, widget=forms.Textarea(attrs=AREA)
    )
    mistaken = forms.BooleanField(
        label=_("Written by mistake: wrong child, or nothing of the kind"),
        help_text=_("Say why above. The note stays; the register shows no date for it any more."),
        required=False,
    )

    def __init__(self, *args: Any, session: Session, may_withdraw: bool, day: date, **named: Any) -> None:
        super().__init__(*args, **named)
        self.session, self.day = session, day
        if not may_withdraw:
            del self.fields["mistaken"]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        names = ("told_whom", "signs_gone_on", "words", "mistaken")
        if not self.errors and not any(data.get(name) for name in names):
            raise ValidationError(_("Write at least one thing to add."))
        if data.get("mistaken") and not data.get("words"):
            self.add_error("words", _("Say why it was a mistake."))
        gone, today = data.get("signs_gone_on"), self.session.club.today()
        if gone and not self.day <= gone <= today:
            self.add_error("signs_gone_on", _("A day from the injury until today."))
        return data

    def more(self, now: datetime) -> More:
        data = self.cleaned_data
        return More(
            told_whom=data["told_whom"],
            told_at=self._told(now) if data["told_whom"] else None,
            signs_gone_on=data["signs_gone_on"],
            words=data["words"],
            mistaken=bool(data.get("mistaken")),
        )

    def _told(self, now: datetime) -> datetime:
        day, at = self.cleaned_data["told_on"], self.cleaned_data["told_at"]
        if at is None:
            return now
        return min(datetime.combine(day or self.session.club.today(), at, self.session.club.zone), now)


class ClearForm(TapForm):
    """Who cleared the child, and when."""

    incident = forms.UUIDField(widget=forms.HiddenInput)
    who = WordsField(label=_("Who cleared the child"), help_text=_("Name and what they are, as told."), max_length=120)
    on = forms.DateField(label=_("On which day"), widget=DayInput())


class WithdrawForm(TapForm):
    """An entry that was wrong."""

    incident = forms.UUIDField(widget=forms.HiddenInput)


def minute_before(now: datetime) -> str:
    """What the form starts from: it has just happened."""
    return f"{now - timedelta(minutes=1):%H:%M}"
