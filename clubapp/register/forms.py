"""Parse and check what is tapped and typed in the register."""

from __future__ import annotations

import re
import uuid
from dataclasses import replace
from datetime import UTC
from typing import Any
from uuid import UUID

from django import forms
from django.core.exceptions import ValidationError
from django.utils.dateparse import parse_datetime
from django.utils.translation import gettext_lazy as _

from clubapp.people.models import Health
from clubapp.register import leaving
from clubapp.register.actions import NewChild, Said, Tap
from clubapp.register.models import AdultMark, Mark

Kind = Mark.Kind
OLDEST, YOUNGEST = 20, 2  # years: outside these a year of birth is a slip of the thumb
PHONE = re.compile(r"\+?[0-9][0-9 ()./-]{4,28}")


class TapForm(forms.Form):
    """What a phone sends with every tap; a page without JavaScript sends the first and the last of them."""

    op_id = forms.UUIDField(required=False, widget=forms.HiddenInput)
    device = forms.CharField(required=False, max_length=64, widget=forms.HiddenInput)
    tapped_at = forms.CharField(required=False, max_length=40, widget=forms.HiddenInput)
    base_version = forms.IntegerField(required=False, min_value=0, max_value=2**31 - 1, widget=forms.HiddenInput)

    def clean_tapped_at(self) -> Any:
        text = self.cleaned_data["tapped_at"]
        if not text:
            return None
        try:
            moment = parse_datetime(text)
            if moment is not None and moment.tzinfo is not None:
                return moment.astimezone(UTC)
        except (ValueError, OverflowError):
            pass  # a phone's clock may stand anywhere, but not outside the calendar
        raise ValidationError(_("Say when with a time zone, like 2026-05-09T10:02:03Z."))

    def tap(self, by: Any, device: str) -> Tap:
        """Only after `is_valid`. device: what the server knows this phone by, if it does not name itself."""
        data = self.cleaned_data
        return Tap(
            by=by,
            op_id=data["op_id"] or uuid.uuid4(),
            device=data["device"] or device,
            tapped_at=data["tapped_at"],
            base_version=data["base_version"] or 0,
        )


class ChildForm(TapForm):
    """A tap on one child."""

    athlete = forms.UUIDField(widget=forms.HiddenInput)


class BroughtForm(ChildForm):
    """Whether an inhaler or a pen is there today."""

    there = forms.TypedChoiceField(choices=[("yes", ""), ("no", "")], coerce=lambda text: text == "yes")


class UndoForm(TapForm):
    """Undo on one row, of "the rest are not here" (rest: its op_id), or of one child's part of that."""

    athlete = forms.UUIDField(required=False)
    rest = forms.UUIDField(required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if not data.get("athlete") and not data.get("rest"):
            raise ValidationError(_("Say what to undo."))
        return data


class MarkForm(ChildForm):
    """One mark. "Told us" may also be set by an adult who took the phone call.

    rest: with "absent", the child's part of "the rest are not here" (its op_id) from a phone without a network.
    """

    KINDS = [(kind.value, kind.label) for kind in Kind if kind != Kind.CLEARED]
    kind = forms.ChoiceField(choices=KINDS, widget=forms.HiddenInput)
    leave_out = forms.MultipleChoiceField(
        label=_("Leave out"), choices=Mark.LeaveOut.choices, required=False, widget=forms.CheckboxSelectMultiple
    )
    went = forms.CharField(max_length=36, required=False, widget=forms.HiddenInput)
    with_whom = forms.CharField(label=_("With whom"), max_length=leaving.LONGEST_NAME, required=False)
    reason = forms.CharField(label=_("Why"), max_length=leaving.LONGEST_REASON, required=False)
    word = forms.CharField(label=_("A word"), max_length=200, required=False)
    rest = forms.UUIDField(required=False, widget=forms.HiddenInput)

    def __init__(self, *args: Any, session_id: UUID, decides: bool = False, **kwargs: Any) -> None:
        """decides: this adult leads the session, and may let a child go otherwise than its guardians said."""
        super().__init__(*args, **kwargs)
        self.session_id, self.decides = session_id, decides
        self.gone: Said | None = None

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("kind") == Kind.LEFT and data.get("athlete") and not {"with_whom", "reason"} & self.errors.keys():
            self._check_leaving(data)
        if data.get("kind") == Kind.EASY and not data.get("leave_out") and "leave_out" not in self.errors:
            self.add_error("leave_out", _("Tick what to leave out."))
        return data

    def _check_leaving(self, data: dict[str, Any]) -> None:
        child = data["athlete"]
        going = leaving.Going(data.get("went", ""), data.get("with_whom", "").strip(), data.get("reason", "").strip())
        try:
            self.gone = leaving.said_of(leaving.ways_of([child], self.session_id, decides=self.decides)[child], going)
        except leaving.NotSoError as error:
            self.add_error(error.field, str(error))

    def part_of(self) -> UUID | None:
        rest: UUID | None = self.cleaned_data["rest"]
        return rest if self.cleaned_data["kind"] == Kind.ABSENT else None

    def said(self) -> Said:
        """Only what belongs to the kind is kept."""
        data, kind = self.cleaned_data, self.cleaned_data["kind"]
        if self.gone is not None:
            return replace(self.gone, word=data["word"].strip())
        return Said(
            kind=kind,
            leave_out=tuple(data["leave_out"]) if kind == Kind.EASY else (),
            word=data["word"].strip(),
        )


class AdultForm(TapForm):
    """A member by id, or an adult by name; `here` and `eighteen` come from the button tapped."""

    person = forms.UUIDField(required=False, widget=forms.HiddenInput)
    name = forms.CharField(label=_("Name"), max_length=AdultMark._meta.get_field("name").max_length, required=False)
    here = forms.TypedChoiceField(choices=[("yes", ""), ("no", "")], coerce=lambda text: text == "yes")
    eighteen = forms.BooleanField(label=_("18 or over"), required=False)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        data["name"] = " ".join(data.get("name", "").split())
        if not data.get("person") and not data["name"]:
            self.add_error("name", _("Write the adult's name."))
        return data


class NewChildForm(TapForm):
    """What is asked at the gate, and nothing else."""

    given_name = forms.CharField(label=_("First name"), max_length=60)
    birth_year = forms.IntegerField(label=_("Year of birth"))
    phone = forms.CharField(
        label=_("An adult's phone"), max_length=30, widget=forms.TextInput(attrs={"type": "tel", "autocomplete": "off"})
    )
    collectors = forms.CharField(
        label=_("Who may collect"),
        max_length=200,
        help_text=_("The adult's name; more than one with commas. The phone is the first one's."),
        widget=forms.TextInput(attrs={"autocomplete": "off", "autocapitalize": "words"}),
    )
    health = forms.ChoiceField(
        label=_("Anything about health we must know?"),
        choices=[(Health.NOTHING.value, _("No")), (Health.NOTE.value, _("Yes"))],
        widget=forms.RadioSelect,
    )
    what_to_do = forms.CharField(
        label=_("If yes: what to do"), max_length=500, required=False, widget=forms.Textarea(attrs={"rows": 2})
    )
    twin = forms.BooleanField(label=_("It is another child of the same name"), required=False)

    def __init__(self, *args: Any, this_year: int, known: frozenset[tuple[str, int]], **kwargs: Any) -> None:
        """known: first names in lower case with their years of birth that stand in the register already."""
        super().__init__(*args, **kwargs)
        self.this_year, self.known = this_year, known
        self.fields["birth_year"].widget.attrs |= {"inputmode": "numeric", "min": this_year - OLDEST, "max": this_year}
        self.fields["given_name"].widget.attrs |= {"autocomplete": "off", "autocapitalize": "words"}
        self.twins = False

    def clean_given_name(self) -> str:
        return " ".join(self.cleaned_data["given_name"].split())

    def clean_birth_year(self) -> int:
        year: int = self.cleaned_data["birth_year"]
        if not self.this_year - OLDEST <= year <= self.this_year - YOUNGEST:
            first, last = self.this_year - OLDEST, self.this_year - YOUNGEST
            raise ValidationError(
                _("Write four digits between %(first)d and %(last)d."), params={"first": first, "last": last}
            )
        return year

    def clean_phone(self) -> str:
        text: str = self.cleaned_data["phone"].strip()
        if not PHONE.fullmatch(text):
            raise ValidationError(_("Write the number with digits, like 07700 900123."))
        return text

    def clean_collectors(self) -> tuple[str, ...]:
        names = [" ".join(name.split())[:80] for name in self.cleaned_data["collectors"].split(",")]
        if not any(names):
            raise ValidationError(_("Write at least one name."))
        return tuple(dict.fromkeys(name for name in names if name))

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("health") == Health.NOTE and not data.get("what_to_do", "").strip():
            self.add_error("what_to_do", _("Write what to do, in a few words."))
        self.twins = (data.get("given_name", "").casefold(), data.get("birth_year")) in self.known
        if self.twins and not data.get("twin"):
            self.add_error(
                "given_name", _("A child of this name and year is on the list already: mark that row, or tick below.")
            )
        return data

    def new(self) -> NewChild:
        data = self.cleaned_data
        return NewChild(
            given_name=data["given_name"],
            birth_year=data["birth_year"],
            phone=data["phone"],
            health=Health(data["health"]),
            what_to_do=data["what_to_do"].strip() if data["health"] == Health.NOTE else "",
            collectors=data["collectors"],
        )
