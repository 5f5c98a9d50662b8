"""Parse and check what is typed or sent about activities. What a card may hold, `library.reading` alone decides."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Mapping
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import UploadedFile
from django.utils.formats import date_format
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from clubapp.core.reading import FileError, Trouble, json_of
from clubapp.planning import catalogue
from clubapp.planning.catalogue import Listed
from clubapp.planning.forms import kit_from, kit_text
from clubapp.planning.library.card import FORMAT, VERSION, Aim, Card, Level, Place
from clubapp.planning.library.reading import OLDEST, YOUNGEST, read, read_all
from clubapp.planning.models import Session, Station

MOST_BYTES = 1_000_000
EMPTY_GROUND: dict[str, Any] = {"size": [12, 12]}
TOOLS = dict(Station.Tools.choices)
SPANS = {"ages": _("Ages"), "children": _("Children"), "queue": _("Children in one lane")}
COUNTS: Mapping[str, tuple[Any, int, int]] = {
    "lanes": (_("Lanes, pairs or fields"), 1, 12),
    "at_once": (_("Of one lane at work at once"), 1, 60),
    "work_s": (_("Seconds one turn takes"), 1, 600),
    "every_s": (_("Seconds from one start to the next"), 1, 900),
    "rest": (_("Rest, in times of the work"), 0, 20),
    "turns": (_("Turns of a child at most"), 1, 60),
    "minutes": (_("Minutes"), 1, 60),
    "adults": (_("Adults needed"), 0, 9),
    "metres": (_("Metres a turn"), 0, 2000),
    "contacts": (_("Landings a turn"), 0, 200),
    "sprints": (_("Runs with all one has, a turn"), 0, 20),
}
LINES = ("how", "look_for", "cautions", "sources")
KITS = ("kit", "kit_shared")


def _choices(kinds: Any, word: Callable[[Any], str]) -> Callable[[], list[tuple[str, str]]]:
    return lambda: [(str(kind), word(kind)) for kind in kinds]


def _area(label: Any, rows: int, help_text: Any = "") -> forms.CharField:
    widget = forms.Textarea(attrs={"rows": rows})
    return forms.CharField(label=label, max_length=2_500, help_text=help_text, widget=widget)


class CardForm(forms.Form):
    """A card but for its drawing, which has a page of its own."""

    name = forms.CharField(label=_("Name"), max_length=60)
    aims = forms.MultipleChoiceField(
        label=_("What it is for"),
        choices=_choices(Aim, catalogue.aim_word),
        widget=forms.CheckboxSelectMultiple,
        help_text=_("One to three."),
    )
    purpose = _area(_("Purpose"), 2, _("One sentence."))
    how = _area(_("How it runs"), 5, _("A line a step."))
    look_for = _area(_("Look for"), 3, _("Three things, a line each."))
    easier = _area(_("Easier"), 2)
    harder = _area(_("Harder"), 2)
    place = forms.ChoiceField(label=_("Set up as"), choices=_choices(Place, catalogue.place_word))
    level = forms.ChoiceField(label=_("Intensity"), choices=_choices(Level, catalogue.level_word))
    tool = forms.ChoiceField(label=_("On the phone"), choices=Station.Tools.choices, required=False)
    kit = forms.CharField(
        label=_("Kit for one lane"), max_length=300, required=False, help_text=_("Like cones:8;balls:4")
    )
    kit_shared = forms.CharField(label=_("Kit for all of them together"), max_length=300, required=False)
    loud = forms.BooleanField(label=_("It is loud"), required=False)
    soft = forms.BooleanField(
        label=_("It needs soft ground"), required=False, help_text=_("Grass, mats or a sprung floor.")
    )
    cautions = _area(_("Cautions"), 3, _("A line each."))
    sources = _area(
        _("Sources"), 2, _("A line each. Nothing published? Then say “common practice, no published source”.")
    )

    def __init__(self, data: Any = None, *, card: Card | None = None) -> None:
        self.before = card
        self.card: Card | None = None
        super().__init__(data, initial=_start(card))
        for name, label in SPANS.items():
            low, high = (YOUNGEST, OLDEST) if name == "ages" else (1, 60)
            for end, word in (("least", _("from")), ("most", _("to"))):
                text = f"{label}, {word}"
                self.fields[f"{name}_{end}"] = forms.IntegerField(label=text, min_value=low, max_value=high)
        for name, (label, low, high) in COUNTS.items():
            self.fields[name] = forms.IntegerField(label=label, min_value=low, max_value=high)
        for name, (_label, low, _high) in COUNTS.items():
            self.initial.setdefault(name, low)

    def _some(self, *names: str) -> list[forms.BoundField]:
        return [self[name] for name in names]

    @property
    def words(self) -> list[forms.BoundField]:
        return self._some("name", "aims", "purpose", "how", "look_for", "easier", "harder")

    @property
    def whom(self) -> list[forms.BoundField]:
        spans = [f"{name}_{end}" for name in SPANS for end in ("least", "most")]
        return self._some(*spans[:4], "place", "lanes", *spans[4:])

    @property
    def load(self) -> list[forms.BoundField]:
        names = ("work_s", "every_s", "at_once", "rest", "turns", "level", "metres", "contacts", "sprints")
        return self._some(*names)

    @property
    def needs(self) -> list[forms.BoundField]:
        return self._some("minutes", "adults", "kit", "kit_shared", "tool")

    @property
    def care(self) -> list[forms.BoundField]:
        return self._some("loud", "soft", "cautions", "sources")

    def clean_kit(self) -> dict[str, int]:
        return kit_from(self.cleaned_data["kit"])

    def clean_kit_shared(self) -> dict[str, int]:
        return kit_from(self.cleaned_data["kit_shared"])

    def clean(self) -> dict[str, Any]:
        """What each field alone cannot say, the card says; by the field it says it of."""
        data = super().clean() or self.cleaned_data
        if not self.errors:
            try:
                self.card = read(self._plain(data))
            except FileError as error:
                for trouble in error.troubles:
                    self.add_error(*self._place_of(trouble))
        return data

    def _plain(self, data: dict[str, Any]) -> dict[str, Any]:
        values = {name: value for name, value in data.items() if not name.endswith(("_least", "_most"))}
        values |= {name: [data[f"{name}_least"], data[f"{name}_most"]] for name in SPANS}
        values |= {name: [line.strip() for line in data[name].splitlines() if line.strip()] for name in LINES}
        drawn = self.before.diagram if self.before else EMPTY_GROUND
        return {"format": FORMAT, "version": VERSION, "diagram": drawn} | values

    def _place_of(self, trouble: Trouble) -> tuple[str | None, str]:
        """The form's field, and with a line of several its number."""
        name = re.split(r"[.\[]", trouble.field)[0]
        line = re.search(r"\[(\d+)\]", trouble.field)
        words = _now("Line %(n)s: %(words)s") % {"n": line[1], "words": trouble.words} if line else trouble.words
        field = f"{name}_least" if name in SPANS else name
        return (field, words) if field in self.fields else (None, str(trouble))


def _start(card: Card | None) -> dict[str, Any]:
    if card is None:
        sure = {
            "sources": _now("Common practice, no published source."),
            "at_once": 1,
            "turns": 5,
            "minutes": 6,
            "adults": 1,
        }
        spans = {"ages_least": 7, "ages_most": 15, "children_least": 2, "children_most": 4}
        return sure | spans | {"queue_least": 2, "queue_most": 4, "work_s": 5, "every_s": 15}
    plain = card.as_json()
    spans = {f"{name}_{end}": plain[name][place] for name in SPANS for place, end in enumerate(("least", "most"))}
    lines = {name: "\n".join(plain[name]) for name in LINES}
    return plain | spans | lines | {name: kit_text(plain[name]) for name in KITS}


class FilterForm(forms.Form):
    """What the list is narrowed to; nothing typed wrongly hides it all."""

    aim = forms.ChoiceField(label=_("Aim"), required=False)
    age = forms.IntegerField(label=_("Age"), min_value=YOUNGEST, max_value=OLDEST, required=False)
    level = forms.ChoiceField(label=_("Intensity"), required=False)
    starred = forms.BooleanField(label=_("Starred only"), required=False)

    def __init__(self, *args: Any, **named: Any) -> None:
        super().__init__(*args, **named)
        aims = [(str(aim), catalogue.aim_word(aim)) for aim in Aim]
        levels = [(str(level), catalogue.level_word(level)) for level in Level]
        for name, choices in (("aim", aims), ("level", levels)):
            field = self.fields[name]
            assert isinstance(field, forms.ChoiceField)
            field.choices = [("", _now("all")), *choices]

    def fits(self, one: Listed) -> bool:
        """Only after `is_valid` was asked; what is wrong narrows nothing."""
        said, card = self.cleaned_data, one.card
        return (
            (not said.get("aim") or said["aim"] in card.aims)
            and (not said.get("age") or card.ages[0] <= said["age"] <= card.ages[1])
            and (not said.get("level") or said["level"] == card.level)
            and (not said.get("starred") or one.starred)
        )


class UseForm(forms.Form):
    """Into which session; today's and coming ones."""

    session = forms.ChoiceField(label=_("Session"))

    def __init__(self, data: Any = None, *, sessions: Iterable[Session]) -> None:
        super().__init__(data)
        self.sessions = {str(session.pk): session for session in sessions}
        field = self.fields["session"]
        assert isinstance(field, forms.ChoiceField)
        field.choices = [(key, _told(session)) for key, session in self.sessions.items()]

    def chosen(self) -> Session:
        """Only after `is_valid`."""
        return self.sessions[self.cleaned_data["session"]]


def _told(session: Session) -> str:
    return f"{date_format(session.date, 'l j F')}, {session.starts:%H:%M}, {session.squad.name}"


class CardsFileForm(forms.Form):
    """A file of one card or several."""

    file = forms.FileField(label=_("A file"), help_text=_("As “Share as a file” makes it: one activity or many."))
    cards: tuple[Card, ...] = ()

    def clean_file(self) -> UploadedFile[bytes]:
        """Never more in memory than cards can be; one byte over the limit is enough to refuse it."""
        file: UploadedFile[bytes] = self.cleaned_data["file"]
        try:
            self.cards = tuple(read_all(json_of(bytes(file.read(MOST_BYTES + 1)), MOST_BYTES)))
        except FileError as error:
            raise ValidationError([str(trouble) for trouble in error.troubles[:12]]) from error
        return file
