"""Parse and check what the coach says has happened."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode
from uuid import UUID

from django import forms
from django.http import QueryDict
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clubapp.planning.models import Station
from clubapp.register import leaving
from clubapp.register.actions import Said
from clubapp.register.models import Mark
from clubapp.rotation import queries
from clubapp.rotation.forms import Tokens
from clubapp.rotation.queries import PlanView
from clubapp.rotation.repairing import Case, Changes

Field = tuple[str, str]
MOST_LOST = 120


@dataclass(frozen=True)
class Ground:
    """What the changes can be about. first: the first round that may still be changed; round: the one asked first.

    may_come: children of the register who are not marked here.
    """

    plan: PlanView
    stations: tuple[Station, ...]
    may_come: tuple[UUID, ...]
    round: int = 1
    first: int = 1


class Several(forms.MultipleChoiceField):
    """Many of a list; the list is a row of links on the page, so here it is only read."""

    widget = forms.MultipleHiddenInput

    def __init__(self) -> None:
        super().__init__(required=False)


class ChangesForm(forms.Form):
    """What has happened that the register does not know yet; everything but round and minutes is chosen by links."""

    round = forms.TypedChoiceField(
        label=gettext_lazy("From which round?"),
        coerce=int,
        error_messages={"invalid_choice": gettext_lazy("That round has begun or is not there: choose another.")},
    )
    lost = forms.IntegerField(label=gettext_lazy("Minutes lost"), required=False, min_value=0, max_value=MOST_LOST)
    late, left, easy, closed, adult = Several(), Several(), Several(), Several(), Several()
    merged = forms.TypedChoiceField(required=False, coerce=int, empty_value=None, widget=forms.HiddenInput)
    into = forms.TypedChoiceField(required=False, coerce=int, empty_value=None, widget=forms.HiddenInput)
    dropped = Tokens(required=False)

    def __init__(self, sent: QueryDict, ground: Ground):
        data = sent.copy()
        data.setdefault("round", str(ground.round))
        super().__init__(data)
        self.sent = sent
        plan = ground.plan
        self._choose("round", [(str(n), str(n)) for n in range(ground.first, len(plan.rounds) + 1)])
        places = [(str(station.pk), station.name) for station in ground.stations]
        going = [("", ""), *((str(group.index), group.bib) for group in plan.groups if group.athletes)]
        placed, coming = ([(str(child), "") for child in many] for many in (plan.placed, ground.may_come))
        named = {"closed": places, "adult": places, "merged": going, "into": going, "left": placed, "easy": placed}
        for name, choices in {**named, "late": coming}.items():
            self._choose(name, choices)

    def _choose(self, name: str, choices: list[tuple[str, Any]]) -> None:
        chosen = self.fields[name]
        if isinstance(chosen, forms.ChoiceField):
            chosen.choices = choices

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        if data.get("into") is not None and data.get("into") == data.get("merged"):
            data["into"] = None
        return data

    def changes(self) -> Changes:
        """What was said; only after `is_valid`."""
        data = self.cleaned_data
        many = {name: tuple(UUID(one) for one in sorted(data[name])) for name in ("closed", "late", "left", "easy")}
        return Changes(
            **many,
            adults=tuple(UUID(station) for station in sorted(data["adult"])),
            merged=data["merged"],
            into=data["into"] if data["merged"] is not None else None,
            lost_s=60 * (data["lost"] or 0),
            dropped=data["dropped"],
        )

    def kept(self, *but: str) -> list[Field]:
        """Every value as it was sent, but for some fields: for links and buttons that send the same again."""
        names = [name for name in self.fields if name not in but]
        return [(name, value) for name in names for value in self.sent.getlist(name) if value]

    def hidden(self) -> list[Field]:
        """For the button that takes a plan: also the round nobody chose by hand."""
        return [*self.kept("round"), ("round", str(self.cleaned_data.get("round", "")))]

    def chosen_by_links(self) -> list[Field]:
        """What the small form with round and minutes must not lose."""
        return self.kept("round", "lost")

    def with_one(self, name: str, value: str) -> str:
        """The query with one value more, or without it where it is there; of a single field, instead of another."""
        one, now = (name, value), self.kept()
        if one in now:
            return urlencode([field for field in now if field != one])
        several = isinstance(self.fields[name], Several | Tokens)
        return urlencode([*(field for field in now if several or field[0] != name), one])

    def has(self, name: str, value: str) -> bool:
        return value in self.sent.getlist(name)

    def query(self, *but: str) -> str:
        return urlencode(self.kept(*but))


class SaidForm(forms.Form):
    """What the register is to be told of children who leave or go easy, in the adult's words."""

    def __init__(self, data: Mapping[str, Any] | None, case: Case) -> None:
        super().__init__(data)
        self.case = case
        taking_part = set(queries.taking_part(case.evening.session.pk))
        self.leaving = [child for child in case.changes.left if child in taking_part]
        self.easing = [child for child in case.easy if child not in case.evening.easy]
        self.coming = [child for child in case.changes.late if child not in taking_part]
        self.ways = leaving.ways_of(self.leaving, case.evening.session.pk, decides=True)
        for child in self.leaving:
            self._ask_who(child, {"name": case.names[child]})
        for child in self.easing:
            self.fields[f"leave_{child}"] = forms.MultipleChoiceField(
                label=_("What is %(name)s to leave out?") % {"name": case.names[child]},
                choices=Mark.LeaveOut.choices,
                widget=forms.CheckboxSelectMultiple,
                error_messages={"required": _("Tick what to leave out.")},
            )

    def _ask_who(self, child: UUID, names: dict[str, str]) -> None:
        """Who takes this child; with whom and why only where the leader decides it."""
        ways = self.ways[child]
        choices = [("", ""), *((str(adult.id), adult.name) for adult in ways.adults)]
        choices += [(leaving.ALONE, _("alone: a guardian agreed"))] if ways.alone else []
        choices.append((leaving.DECIDED, _("somebody else, by my decision")))
        fields = {
            f"went_{child}": forms.ChoiceField(label=_("Who takes %(name)s along?") % names, choices=choices),
            f"whom_{child}": forms.CharField(
                label=_("By my decision: with whom does %(name)s go?") % names,
                max_length=leaving.LONGEST_NAME,
                required=False,
            ),
            f"reason_{child}": forms.CharField(label=_("Why?"), max_length=leaving.LONGEST_REASON, required=False),
        }
        self.fields.update(fields)

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        self.gone: dict[UUID, Said] = {}
        for child in self.leaving:
            going = leaving.Going(*(data.get(f"{part}_{child}", "").strip() for part in ("went", "whom", "reason")))
            if not going.went:
                continue
            try:
                self.gone[child] = leaving.said_of(self.ways[child], going)
            except leaving.NotSoError as error:
                part = {"with_whom": "whom"}.get(error.field, error.field)
                self.add_error(f"{part}_{child}", str(error))
        return data

    def said(self) -> dict[UUID, Said]:
        """Only after `is_valid`."""
        data = self.cleaned_data
        return {
            **{child: Said(Mark.Kind.LATE) for child in self.coming},
            **{child: Said(Mark.Kind.EASY, leave_out=tuple(data[f"leave_{child}"])) for child in self.easing},
            **self.gone,
        }
