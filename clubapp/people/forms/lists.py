"""Squads, pair rules and members."""

from __future__ import annotations

from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils.translation import gettext_lazy as _

from clubapp.people import queries
from clubapp.people.actions import PairWish
from clubapp.people.forms.doors import no_semicolon
from clubapp.people.forms.fields import WordsField
from clubapp.people.models import Athlete, Club, PairRule, Squad


class ChildrenField(forms.ModelMultipleChoiceField):  # type: ignore[type-arg]
    """Children of the club, each with family name and year, so that two of one name are told apart."""

    def __init__(self, **named: Any) -> None:
        super().__init__(queryset=Athlete.objects.none(), widget=forms.CheckboxSelectMultiple, **named)

    def label_from_instance(self, obj: Athlete) -> str:
        return label_of(obj)


def label_of(child: Athlete) -> str:
    return f"{child.full_name}, {child.born.year}" if child.born else child.full_name


class SquadForm(forms.Form):
    name = WordsField(label=_("Name of the squad"), max_length=60)

    def __init__(self, club: Club, *args: Any, squad: Squad | None = None, **named: Any) -> None:
        self.club, self.squad = club, squad
        super().__init__(*args, **named)

    def clean_name(self) -> str:
        name = no_semicolon(self.cleaned_data["name"])
        same = Squad.objects.filter(club=self.club, name__iexact=name).first()
        if same is not None and same != self.squad:
            raise ValidationError(_("The club has a squad of this name already."))
        return name


class SquadListForm(SquadForm):
    """Name and children of one squad, and whether its families see results."""

    shares_results = forms.BooleanField(
        label=_("Guardians see their own child's results"),
        help_text=_("Never another child's, never a rank. A child of two squads is shown only if both share."),
        required=False,
    )
    athletes = ChildrenField(label=_("Children"), required=False)

    def __init__(self, club: Club, *args: Any, squad: Squad, **named: Any) -> None:
        super().__init__(club, *args, squad=squad, **named)
        field = self.fields["athletes"]
        assert isinstance(field, ChildrenField)
        field.queryset = queries.roster(club)
        field.initial = squad.athletes.all()
        self.fields["name"].initial = squad.name
        self.fields["shares_results"].initial = squad.shares_results


class PairForm(forms.Form):
    kind = forms.ChoiceField(label=_("Rule"), choices=PairRule.Kind.choices, widget=forms.RadioSelect)
    athletes = ChildrenField(label=_("Children"))
    reason = forms.CharField(
        label=_("Why"),
        help_text=_("Only the head coach sees this; it is on no other page."),
        max_length=500,
        required=False,
        widget=forms.Textarea(attrs={"rows": 2}),
    )

    def __init__(self, club: Club, data: Any = None, *, rule: PairRule | None = None) -> None:
        start = {"kind": rule.kind, "reason": rule.reason, "athletes": rule.athletes.all()} if rule else {}
        super().__init__(data, initial=start)
        field = self.fields["athletes"]
        assert isinstance(field, ChildrenField)
        field.queryset = queries.roster(club)

    def clean_athletes(self) -> Any:
        children = self.cleaned_data["athletes"]
        if len(children) < 2:
            raise ValidationError(_("Tick at least two children."))
        return children

    def wish(self) -> PairWish:
        data = self.cleaned_data
        return PairWish(PairRule.Kind(data["kind"]), tuple(data["athletes"]), reason=data["reason"])


class PlaceForm(forms.Form):
    """Which squad has a place."""

    squad = forms.ModelChoiceField(queryset=Squad.objects.none())

    def __init__(self, club: Club, *args: Any, **named: Any) -> None:
        super().__init__(*args, **named)
        field = self.fields["squad"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = Squad.objects.filter(club=club)
