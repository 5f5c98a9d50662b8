"""A child, its health and its adults."""

from __future__ import annotations

from copy import copy
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.db.models import QuerySet
from django.utils.translation import gettext_lazy as _

from clubapp.people.actions import AthleteDetails, GuardianDetails, HealthAnswer
from clubapp.people.forms.fields import DayInput, WordsField, check_born, check_phone
from clubapp.people.models import Athlete, Club, Consent, Guardian, Guardianship, Health, Sex, Squad

DETAILS = (
    "given_name",
    "family_name",
    "known_as",
    "date_of_birth",
    "birth_year",
    "sex",
    "skill",
    "joined_on",
    "sessions_before",
    "roster_id",
)
HEALTH = [
    (Health.NOTE, _("Yes")),
    (Health.NOTHING, _("Nothing to know")),
    (Health.NOT_ASKED, _("Not asked yet")),
]


class AthleteForm(forms.ModelForm):  # type: ignore[type-arg]
    sex = forms.ChoiceField(label=_("Sex"), choices=[("", _("not said")), *Sex.choices], required=False)
    skill = forms.TypedChoiceField(
        label=_("Skill, 1 to 5"),
        help_text=_("Your own estimate; only the head coach sees it."),
        choices=[("", _("not said")), *((n, n) for n in range(1, 6))],
        coerce=int,
        empty_value=None,
        required=False,
    )
    sessions_before = forms.IntegerField(
        label=_("Sessions before this list"),
        help_text=_("A child is a first-timer until the third attendance."),
        min_value=0,
        max_value=999,
        initial=0,
    )
    squads = forms.ModelMultipleChoiceField(
        label=_("Squads"), queryset=Squad.objects.none(), required=False, widget=forms.CheckboxSelectMultiple
    )

    class Meta:
        model = Athlete
        fields = DETAILS
        field_classes = dict.fromkeys(("given_name", "family_name", "known_as", "roster_id"), WordsField)
        widgets = {
            "date_of_birth": DayInput(),
            "joined_on": DayInput(),
        }
        help_texts = {
            "known_as": _("If the child is called by another name than the given one."),
            "birth_year": _("Enough while the date is not known."),
            "roster_id": _("From your own list, if it has one."),
        }

    def __init__(self, club: Club, data: Any = None, *, instance: Athlete | None = None) -> None:
        self.club = club
        # A copy: checking a model form fills its instance, and the action compares with what is stored.
        super().__init__(data, instance=copy(instance) if instance else Athlete(club=club))
        squads = self.fields["squads"]
        assert isinstance(squads, forms.ModelMultipleChoiceField)
        squads.queryset = Squad.objects.filter(club=club).order_by("name")
        squads.initial = instance.squads.all() if instance else squads.queryset[:1]

    def clean_roster_id(self) -> str:
        roster_id = str(self.cleaned_data["roster_id"])
        others = Athlete.objects.filter(club=self.club, roster_id=roster_id).exclude(pk=self.instance.pk)
        if roster_id and others.exists():
            raise ValidationError(_("Another child of the club has this roster id."))
        return roster_id

    def clean_date_of_birth(self) -> Any:
        check_born(self.cleaned_data["date_of_birth"], None, self.club.today())
        return self.cleaned_data["date_of_birth"]

    def clean_birth_year(self) -> Any:
        check_born(None, self.cleaned_data["birth_year"], self.club.today())
        return self.cleaned_data["birth_year"]

    def details(self) -> AthleteDetails:
        """A form that was looked through and saved has finished the child's details."""
        return AthleteDetails(**{name: self.cleaned_data[name] for name in DETAILS}, details_wanted=False)


class NewAthleteForm(AthleteForm):
    """Sent twice, or written down by somebody else before: a child of the same name and birth is asked about."""

    twin = forms.BooleanField(label=_("It is another child of the same name"), required=False)
    twins = False

    def clean(self) -> dict[str, Any]:
        data = super().clean() or self.cleaned_data
        self.twins = not self.errors and self._same(data).exists()
        if self.twins and not data.get("twin"):
            self.add_error(
                "given_name", _("A child of this name and birth is on the list already. Another one? Tick it.")
            )
        return data

    def _same(self, data: dict[str, Any]) -> QuerySet[Athlete]:
        names = {f"{part}__iexact": data.get(part, "") for part in ("given_name", "family_name")}
        born = {part: data.get(part) for part in ("date_of_birth", "birth_year")}
        return Athlete.objects.filter(club=self.club, left_on=None, **names, **born)


class HealthForm(forms.Form):
    health = forms.ChoiceField(
        label=_("Is there anything about health?"),
        choices=[
            (Health.NOTE, _("Yes")),
            (Health.NOTHING, _("Nothing to know")),
            (Health.NOT_ASKED, _("Not asked yet")),
        ],
        required=False,
        widget=forms.RadioSelect,
    )
    what_to_do = forms.CharField(
        label=_("What to do"),
        help_text=_("First, in short sentences: what an adult on the field does."),
        max_length=600,
        required=False,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    note = forms.CharField(
        label=_("What it is"), max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )
    to_bring = forms.BooleanField(
        label=_("Brings an inhaler, a pen or the like each time"),
        required=False,
        help_text=_("The register then asks whether it is there today."),
    )

    def clean(self) -> dict[str, Any]:
        data = self.cleaned_data
        if data.get("health") == Health.NOTE and not data.get("what_to_do"):
            self.add_error("what_to_do", _("Write what to do: the flag is of no use without it."))
        return data

    def answer(self) -> HealthAnswer:
        data = self.cleaned_data
        words = {name: data[name] for name in ("what_to_do", "note", "to_bring")}
        return HealthAnswer(health=Health(data["health"]), **words)


class GuardianForm(forms.Form):
    """An adult responsible for the child. May collect only when ticked."""

    name = WordsField(label=_("Name"), max_length=80)
    relation = WordsField(label=_("What the adult is to the child"), max_length=40, required=False)
    phone = WordsField(label=_("Phone"), max_length=30, required=False, widget=forms.TextInput(attrs={"type": "tel"}))
    email = forms.EmailField(label=_("E-mail"), required=False)
    may_collect = forms.BooleanField(
        label=_("May collect the child"), required=False, help_text=_("Tick it only if the family said so.")
    )
    emergency_order = forms.IntegerField(label=_("Call in this order"), min_value=1, max_value=9, initial=1)
    restricted = forms.BooleanField(
        label=_("Contact restricted"),
        required=False,
        help_text=_("Sees, receives and decides nothing about this child, at once; is never rung, never collects."),
    )

    def clean(self) -> dict[str, Any]:
        data = self.cleaned_data
        if data.get("restricted") and data.get("may_collect"):
            self.add_error("may_collect", _("An adult whose contact is restricted never collects: untick one."))
        return data

    def clean_phone(self) -> str:
        return check_phone(self.cleaned_data["phone"])

    def details(self) -> GuardianDetails:
        return GuardianDetails(**{name: self.cleaned_data[name] for name in GuardianForm.base_fields})


class NewGuardianForm(GuardianForm):
    """Somebody new, or an adult the club knows from a brother or sister."""

    field_order = ("known", "name")
    known = forms.ModelChoiceField(
        label=_("Known already"),
        queryset=Guardian.objects.none(),
        required=False,
        empty_label=_("no, somebody new"),
        help_text=_("For brothers and sisters: one adult, one phone number."),
    )

    def __init__(self, athlete: Athlete, *args: Any, **named: Any) -> None:
        super().__init__(*args, **named)
        self.fields["name"].required = False
        known = self.fields["known"]
        assert isinstance(known, forms.ModelChoiceField)
        tied = Guardianship.everyone.filter(athlete=athlete).values("guardian")
        known.queryset = Guardian.objects.filter(club=athlete.club_id).exclude(pk__in=tied).order_by("name", "pk")

    def clean(self) -> dict[str, Any]:
        data = super().clean()
        if not data.get("known") and not data.get("name"):
            self.add_error("name", _("Write the adult's name."))
        return data


class TieField(forms.ModelChoiceField):  # type: ignore[type-arg]
    """A guardian of the child, by name."""

    def label_from_instance(self, obj: Guardianship) -> str:
        return obj.guardian.name


class ConsentForm(forms.Form):
    """What a guardian said, as an adult of the club writes it down."""

    kind = forms.ChoiceField(choices=Consent.Kind.choices, widget=forms.HiddenInput)
    given = forms.TypedChoiceField(
        choices=[("yes", ""), ("no", "")], coerce=lambda text: text == "yes", widget=forms.HiddenInput
    )
    guardian = TieField(label=_("Which guardian said so?"), queryset=Guardianship.objects.none())

    def __init__(self, child: Athlete, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        ties = Guardianship.objects.filter(athlete=child).select_related("guardian", "athlete__club")
        field = self.fields["guardian"]
        assert isinstance(field, TieField)
        field.queryset = ties.order_by("emergency_order", "guardian__name", "pk")
