"""Parse and check what is typed about sessions, blocks and stations."""

from __future__ import annotations

import datetime
import re
from collections.abc import Iterable, Mapping
from typing import Any
from uuid import UUID

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils.formats import date_format
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from clubapp.people.models import Club, Squad, User
from clubapp.planning.actions import Lines, SessionDetails, StationDetails
from clubapp.planning.catalogue import Listed, aim_word
from clubapp.planning.models import Block, Session, Station, Venue
from clubapp.planning.starters import STARTERS

FIRST_DAY, DAYS_AHEAD = datetime.date(2000, 1, 1), datetime.timedelta(days=3 * 366)
LARGEST_FIELD_M = 500.0
MOST_OF_A_KIND = 999
CARD = "card:"  # before the code of an activity among the starters' keys
KIT_PART = re.compile(r"\s*([^:;]{1,40}?)\s*:\s*([0-9]{1,3})\s*")


class DateInput(forms.DateInput):
    input_type = "date"

    def __init__(self) -> None:
        super().__init__(format="%Y-%m-%d")


class TimeInput(forms.TimeInput):
    input_type = "time"

    def __init__(self) -> None:
        super().__init__(format="%H:%M")


class SessionForm(forms.Form):
    """When and where. The squad is asked only where there is a choice."""

    date = forms.DateField(label=_("Date"), widget=DateInput)
    starts = forms.TimeField(label=_("Starts at"), widget=TimeInput)
    minutes = forms.IntegerField(label=_("Minutes"), min_value=10, max_value=300)
    adults = forms.IntegerField(label=_("Adults expected"), min_value=0, max_value=99)
    place = forms.CharField(label=_("Place"), max_length=80, required=False)
    meeting_place = forms.CharField(
        label=_("Meeting place"),
        help_text=_("Where everybody goes when somebody calls STOP, like “the gym, north door”. Every phone shows it."),
        max_length=80,
        required=False,
    )

    venue = forms.ModelChoiceField(
        label=_("Venue"),
        queryset=Venue.objects.none(),
        required=False,
        empty_label=_("none, only the words above"),
        help_text=_("With a venue the stations are placed to scale, and its emergency plan is at hand."),
    )

    def __init__(self, *args: Any, club: Club, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.club = club
        field = self.fields["venue"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = Venue.objects.filter(club=club).order_by("name")
        if not field.queryset.exists():
            field.widget = forms.HiddenInput()

    def clean_date(self) -> datetime.date:
        day: datetime.date = self.cleaned_data["date"]
        last = self.club.today() + DAYS_AHEAD
        if not FIRST_DAY <= day <= last:
            bounds = {"first": date_format(FIRST_DAY, "j F Y"), "last": date_format(last, "j F Y")}
            raise ValidationError(_("Choose a day from %(first)s to %(last)s."), params=bounds)
        return day

    def details(self) -> SessionDetails:
        data, venue = self.cleaned_data, self.cleaned_data["venue"]
        return SessionDetails(
            date=data["date"],
            starts=data["starts"],
            minutes=data["minutes"],
            adults=data["adults"],
            place=data["place"] or (venue.name if venue else ""),
            meeting_place=data["meeting_place"] or (venue.meeting_place if venue else ""),
            leader=data.get("leader"),
            venue=venue,
        )


class NewSessionForm(SessionForm):
    squad = forms.ModelChoiceField(label=_("Squad"), queryset=Squad.objects.none(), empty_label=None)

    field_order = ("squad", "date")

    def __init__(self, *args: Any, club: Club, **kwargs: Any) -> None:
        super().__init__(*args, club=club, **kwargs)
        squads = Squad.objects.filter(club=club).order_by("name")
        field = self.fields["squad"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = squads
        if len(squads) == 1:
            field.widget, field.initial = forms.HiddenInput(), squads[0].pk

    def clean(self) -> dict[str, Any]:
        """Sent twice is made once; a session called off is no hindrance."""
        data = super().clean() or self.cleaned_data
        when = {part: data.get(part) for part in ("squad", "date", "starts")}
        if all(when.values()) and Session.objects.filter(**when, called_off=False).exists():
            self.add_error("starts", _("This squad has a session at this time already. It stands among the sessions."))
        return data


class EditSessionForm(SessionForm):
    leader = forms.ModelChoiceField(
        label=_("Leader"),
        queryset=User.objects.none(),
        required=False,
        empty_label=_("the head coach"),
        help_text=_("The adult who runs this session."),
    )

    def __init__(self, *args: Any, leaders: QuerySet[User], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["leader"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = leaders


class BlocksForm(forms.Form):
    """Minutes of every block by its id, and one button: keep, earlier, later, remove, or add one of a kind."""

    add_kind = forms.ChoiceField(label=_("Part"), choices=Block.Kind.choices, required=False)
    add_minutes = forms.IntegerField(label=_("Minutes"), min_value=0, max_value=300, required=False)

    def __init__(self, *args: Any, blocks: QuerySet[Block], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.blocks = list(blocks)
        for block in self.blocks:
            if block.kind != Block.Kind.ROTATION:
                self.fields[f"minutes-{block.pk}"] = forms.IntegerField(
                    label=block.get_kind_display(),
                    min_value=0,
                    max_value=300,
                    required=False,
                    initial=round(block.seconds / 60),
                )

    def minutes(self) -> dict[UUID, int]:
        found = {block.pk: self.cleaned_data.get(f"minutes-{block.pk}") for block in self.blocks}
        return {pk: minutes for pk, minutes in found.items() if minutes is not None}

    def block(self, name: str) -> Block | None:
        """The block whose button `name` was tapped."""
        wanted = self.data.get(name)
        return next((block for block in self.blocks if str(block.pk) == wanted), None)


class NewStationForm(forms.Form):
    """One of the starters, an activity of the library, or one of the coach's own under a name."""

    starter = forms.ChoiceField(label=_("Station"), required=False, initial=STARTERS[0].key)

    def __init__(self, data: Any = None, *, activities: Iterable[Listed]) -> None:
        super().__init__(data)
        field = self.fields["starter"]
        assert isinstance(field, forms.ChoiceField)
        groups: dict[str, list[tuple[str, str]]] = {_now("Starred"): []}
        for one in activities:
            heading = _now("Starred") if one.starred else aim_word(one.card.aims[0]).capitalize()
            groups.setdefault(heading, []).append((f"{CARD}{one.code}", one.name))
        own, ready = ("", _now("one of my own")), [(starter.key, str(starter.name)) for starter in STARTERS]
        field.choices = [own, (_now("With a place on the field"), ready), *((k, v) for k, v in groups.items() if v)]

    @property
    def activity(self) -> str:
        """The code of the activity that was chosen, if it was one; only after `is_valid`."""
        chosen: str = self.cleaned_data["starter"]
        return chosen.removeprefix(CARD) if chosen.startswith(CARD) else ""


class MoveForm(forms.Form):
    step = forms.TypedChoiceField(choices=[("-1", "-1"), ("1", "1")], coerce=int)


class StationForm(forms.Form):
    name = forms.CharField(label=_("Name"), max_length=60)
    set_up = forms.CharField(
        label=_("How to set it up"), max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 5})
    )
    intensity = forms.ChoiceField(label=_("Intensity"), choices=Station.Intensity.choices)
    groups_min = forms.IntegerField(label=_("Groups at least"), min_value=0, max_value=12, initial=0)
    groups_max = forms.IntegerField(label=_("Groups at most"), min_value=1, max_value=12, initial=1)
    x_m = forms.FloatField(
        label=_("Metres east"),
        min_value=0,
        max_value=LARGEST_FIELD_M,
        required=False,
        widget=forms.NumberInput(attrs={"step": "0.1"}),
    )
    y_m = forms.FloatField(
        label=_("Metres north"),
        min_value=0,
        max_value=LARGEST_FIELD_M,
        required=False,
        widget=forms.NumberInput(attrs={"step": "0.1"}),
    )
    kit = forms.CharField(
        label=_("Kit"), max_length=300, required=False, help_text=_("Name and number, like cones:8;balls:4")
    )

    tools = forms.ChoiceField(
        label=_("On the phone"),
        choices=Station.Tools.choices,
        required=False,
        help_text=_("What the phone at this station offers beside the bell."),
    )

    def clean_kit(self) -> dict[str, int]:
        return kit_from(self.cleaned_data["kit"])

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        least, most = data.get("groups_min"), data.get("groups_max")
        if least is not None and most is not None and least > most:
            self.add_error("groups_min", _("At least cannot be more than at most."))
        if (
            "x_m" not in self.errors
            and "y_m" not in self.errors
            and (data.get("x_m") is None) != (data.get("y_m") is None)
        ):
            self.add_error("y_m", _("Write both metres, or neither."))
        return data

    def details(self) -> StationDetails:
        return StationDetails(**self.cleaned_data)


def kit_from(text: str) -> dict[str, int]:
    """cones:8;balls:4 as names and numbers; a name written twice adds up.

    Raises:
        ValidationError: with the part that could not be read.
    """
    kit: dict[str, int] = {}
    for part in filter(str.strip, text.split(";")):
        found = KIT_PART.fullmatch(part)
        if not found or int(found[2]) < 1:
            sentence = _("“%(part)s” could not be read: write a name, a colon and a number, like cones:8.")
            raise ValidationError(sentence, params={"part": part.strip()})
        kit[found[1]] = min(MOST_OF_A_KIND, kit.get(found[1], 0) + int(found[2]))
    return kit


def kit_text(kit: Mapping[str, int]) -> str:
    return ";".join(f"{name}:{number}" for name, number in kit.items())


def session_values(session: Session) -> dict[str, Any]:
    """The form's initial values."""
    return {
        "date": session.date,
        "starts": session.starts,
        "minutes": session.minutes,
        "adults": session.adults,
        "place": session.place,
        "meeting_place": session.meeting_place,
        "leader": session.leader_id,
        "venue": session.venue_id,
    }


def station_values(station: Station) -> dict[str, Any]:
    names = ("name", "set_up", "intensity", "groups_min", "groups_max", "x_m", "y_m", "tools")
    return {name: getattr(station, name) for name in names} | {"kit": kit_text(station.kit)}


class ReviewForm(forms.Form):
    """Three lines, each of which may stay empty."""

    went_well = forms.CharField(label=_("Went well"), max_length=160, required=False)
    change = forms.CharField(label=_("Change"), max_length=160, required=False)
    next_week = forms.CharField(label=_("Next week"), max_length=160, required=False)

    def lines(self) -> Lines:
        """Only after `is_valid`."""
        return Lines(**self.cleaned_data)
