"""Parse and check what the coach asks for."""

from __future__ import annotations

import re
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.http import QueryDict
from django.utils.translation import gettext_lazy as _

from clubapp.rotation.wishes import EVEN, KINDS, LIKE, Wishes

MOST_GROUPS, MOST_ROUNDS = 12, 12
UUID_TEXT = r"[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}"
DROPPED = re.compile(
    rf"(pair|within|lock|alone):{UUID_TEXT}|not_alone:[a-z_]+:[a-z]+|within_years|age_gap|guided|"
    r"hard_run|staffed|size|rest|shut:\d{1,2}"
)
BALANCE = [("speed_s", _("speed")), ("age", _("age")), ("skill", _("skill"))]
NOT_ALONE = [(KINDS[0], _("first-timers")), (KINDS[1], _("girls")), (KINDS[2], _("boys"))]
YEARS = [("1", _("one year")), ("1.5", _("a year and a half")), ("2", _("two years")), ("3", _("three years")),
         ("4", _("four years")), ("", _("no such rule"))]  # fmt: skip
GAPS = [("", _("no such rule")), ("2", _("two years")), ("3", _("three years")), ("4", _("four years")),
        ("5", _("five years")), ("6", _("six years"))]  # fmt: skip
HARD_RUNS = [("", _("no such rule")), ("1", _("one")), ("2", _("two")), ("3", _("three"))]
MODES = [(EVEN, _("as able as one another")), (LIKE, _("like with like"))]


class Tokens(forms.Field):
    """Rules left out today, one hidden input each; anything else is thrown out."""

    widget = forms.MultipleHiddenInput

    def to_python(self, value: Any) -> tuple[str, ...]:
        return tuple(sorted({token for token in value or () if DROPPED.fullmatch(token)}))


class WishesForm(forms.Form):
    """The settings of groups and rotation; seconds left empty are fitted to the minutes there are."""

    groups = forms.IntegerField(label=_("Groups"), min_value=1, max_value=MOST_GROUPS)
    rounds = forms.IntegerField(label=_("Rounds"), min_value=1, max_value=MOST_ROUNDS)
    work_s = forms.IntegerField(
        label=_("Work, s"), required=False, min_value=30, max_value=1800, help_text=_("Empty: as the minutes allow.")
    )
    change_s = forms.IntegerField(
        label=_("Change-over, s"),
        required=False,
        min_value=5,
        max_value=600,
        help_text=_("Empty: as the minutes allow."),
    )
    mode = forms.ChoiceField(label=_("The groups are to be"), choices=MODES, required=False, widget=forms.RadioSelect)
    balance = forms.MultipleChoiceField(
        label=_("Judge ability by"), choices=BALANCE, required=False, widget=forms.CheckboxSelectMultiple
    )
    not_alone = forms.MultipleChoiceField(
        label=_("Nobody the only one in a group among"),
        choices=NOT_ALONE,
        required=False,
        widget=forms.CheckboxSelectMultiple,
    )
    within_years = forms.ChoiceField(label=_("Another child in the group within"), choices=YEARS, required=False)
    largest_age_gap = forms.ChoiceField(
        label=_("Oldest and youngest of a group differ by at most"), choices=GAPS, required=False
    )
    guided = forms.BooleanField(label=_("First-timers with somebody who has come three times or more"), required=False)
    new_company = forms.BooleanField(
        label=_("With other children than in the last weeks, among equally good groups"), required=False
    )
    hard_run = forms.ChoiceField(label=_("Hard stations in a row, at most"), choices=HARD_RUNS, required=False)
    adults_stay = forms.IntegerField(
        label=_("Adults who stay at a station"),
        required=False,
        min_value=1,
        max_value=MOST_GROUPS,
        help_text=_("No more stations run at once. Empty: adults go with the groups."),
    )
    succession = forms.BooleanField(label=_("Every station after every other as evenly as can be"), required=False)
    dropped = Tokens(required=False)

    def clean_work_s(self) -> int | None:
        return self._whole_fives("work_s")

    def clean_change_s(self) -> int | None:
        return self._whole_fives("change_s")

    def _whole_fives(self, name: str) -> int | None:
        seconds: int | None = self.cleaned_data[name]
        if seconds and seconds % 5:
            raise ValidationError(
                _("Whole five seconds, please: %(near)d for instance."), params={"near": seconds // 5 * 5}
            )
        return seconds

    def wishes(self) -> Wishes:
        """What was asked; only after `is_valid`."""
        data = self.cleaned_data
        return Wishes(
            groups=data["groups"],
            rounds=data["rounds"],
            work_s=data["work_s"],
            change_s=data["change_s"],
            balance=tuple(data["balance"]),
            not_alone=tuple(data["not_alone"]),
            within_years=_years(data["within_years"]),
            mode=data["mode"] or EVEN,
            largest_age_gap=_years(data["largest_age_gap"]),
            guided=data["guided"],
            new_company=data["new_company"],
            hard_run=int(data["hard_run"]) if data["hard_run"] else None,
            adults_stay=data["adults_stay"],
            succession=data["succession"],
            dropped=() if "all_rules" in self.data else data["dropped"],
        )

    def hidden(self) -> list[tuple[str, str]]:
        """Every value as it was sent, for buttons that send the same again with one thing changed."""
        sent = self.data if isinstance(self.data, QueryDict) else QueryDict()
        return [(name, value) for name in (*self.fields, "start", "over_running") for value in sent.getlist(name)]


def filled(wishes: Wishes) -> WishesForm:
    """The form with the settings that count now."""
    start = wishes.stored()
    for name in ("within_years", "largest_age_gap"):
        start[name] = f"{start[name]:g}" if start[name] else ""
    start["hard_run"] = str(start["hard_run"] or "")
    return WishesForm(initial=start)


def _years(text: str) -> float | None:
    return float(text) if text else None


class MoveForm(forms.Form):
    athlete = forms.UUIDField()
    group = forms.IntegerField(min_value=0)


class PlaceForm(forms.Form):
    athlete = forms.UUIDField()


class LockForm(forms.Form):
    token = forms.RegexField(rf"^(athlete:{UUID_TEXT}|group:\d{{1,2}})$")
    on = forms.BooleanField(required=False)


class UndoForm(forms.Form):
    version = forms.IntegerField(min_value=1)
