"""The roster file, and which of its columns means what."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from django import forms
from django.core.files.uploadedfile import UploadedFile
from django.utils.translation import gettext as _now
from django.utils.translation import gettext_lazy as _

from clubapp.people import csvfile
from clubapp.people.cells import DateOrder
from clubapp.people.csvfile import CsvError, Table
from clubapp.people.models import Club, ImportDraft, Squad
from clubapp.people.roster import columns, drafting

EXAMPLES = 3


class UploadForm(forms.Form):
    file = forms.FileField(label=_("A file"), required=False, help_text=_("CSV, as every spreadsheet saves it."))
    text = forms.CharField(
        label=_("Or paste the rows"),
        help_text=_("Headings first. Cells copied from a spreadsheet are fine."),
        required=False,
        strip=False,
        widget=forms.Textarea(attrs={"rows": 5, "spellcheck": "false", "autocapitalize": "none"}),
    )
    squad = forms.ModelChoiceField(
        label=_("New children join"), queryset=Squad.objects.none(), required=False, empty_label=_("no squad yet")
    )
    table: Table | None = None

    def __init__(self, club: Club, *args: Any, again: ImportDraft | None = None, **named: Any) -> None:
        """again: a list that was brought in already, whose rows the coach wants to put right."""
        super().__init__(*args, **named)
        squad = self.fields["squad"]
        assert isinstance(squad, forms.ModelChoiceField)
        squad.queryset = Squad.objects.filter(club=club).order_by("name")
        squad.initial = again.squad if again else squad.queryset.first()
        if again:
            self.fields["text"].initial = drafting.as_text(again)

    def clean(self) -> dict[str, Any]:
        file, text = self.cleaned_data.get("file"), self.cleaned_data.get("text") or ""
        if self.errors:
            return self.cleaned_data
        if bool(file) == bool(text.strip()):
            self.add_error("file", _("Choose a file or paste rows: one of the two."))
            return self.cleaned_data
        try:
            self.table = _table(_bytes(file) if file else text.encode())
        except CsvError as error:
            self.add_error("file" if file else "text", str(error))
        return self.cleaned_data


def _table(data: bytes) -> Table:
    table = csvfile.read(data)
    if not table.rows:
        raise CsvError(_now("There is a line of headings, and no child under it. Each child needs a row."))
    return table


def _bytes(file: UploadedFile[bytes]) -> bytes:
    """Never more in memory than a roster can be; one byte over the limit is enough to refuse it."""
    return bytes(file.read(csvfile.MOST_BYTES + 1))


class ColumnsForm(forms.Form):
    """One choice for each column of the file, and the order of day and month if the dates leave it open."""

    def __init__(self, table: Table, meanings: list[str], *args: Any, order: str = "", **named: Any) -> None:
        super().__init__(*args, **named)
        self.table = table
        for place, (heading, meaning) in enumerate(zip(table.header, meanings, strict=True)):
            self.fields[f"column_{place}"] = forms.ChoiceField(
                label=heading, choices=columns.choices(), initial=meaning, required=False, help_text=self._seen(heading)
            )
        said = self._meanings(self.data) if self.is_bound else meanings
        self.open_order = drafting.order_of(table, said) == DateOrder.AMBIGUOUS
        if self.open_order:
            self.fields["order"] = forms.ChoiceField(
                label=_now("In this file 9/4/2016 is"),
                choices=[(DateOrder.DMY, _("9 April 2016")), (DateOrder.MDY, _("4 September 2016"))],
                initial=order,
                widget=forms.RadioSelect,
            )

    def _seen(self, heading: str) -> str:
        """The first few values, so that the coach sees what the column holds."""
        values = dict.fromkeys(row.cells[heading].strip() for row in self.table.rows[:20])
        return " · ".join(value[:24] for value in list(values)[:EXAMPLES] if value)

    def _meanings(self, data: Any) -> list[str]:
        """Only meanings that there are; a wrong one is refused by its own field."""
        known = {name for name, _title in columns.choices()}
        said = [data.get(f"column_{place}", "") or "" for place in range(len(self.table.header))]
        return [name if name in known else "" for name in said]

    def column_fields(self) -> Iterator[forms.BoundField]:
        return (self[f"column_{place}"] for place in range(len(self.table.header)))

    def clean(self) -> dict[str, Any]:
        taken: dict[str, str] = {}
        for place, name in enumerate(self.meanings()):
            if name and name in taken:
                sentence = _now("“%(other)s” has this meaning already.") % {"other": taken[name]}
                self.add_error(f"column_{place}", sentence)
            taken.setdefault(name, self.table.header[place])
        if not taken.keys() & {"id", "name", "given_name"}:
            self.add_error(None, _now("One column must hold the name or the roster id."))
        if not taken.keys() - {""}:
            self.add_error(
                None, _now("The first row is read as headings. Is it a child? Put a row of headings above it.")
            )
        if "name" in taken and taken.keys() & {"given_name", "family_name"}:
            self.add_error(None, _now("Use the whole name or its two parts, not both."))
        return self.cleaned_data

    def meanings(self) -> list[str]:
        return self._meanings(self.cleaned_data)

    def order(self) -> str:
        """What the coach said, or what the dates say by themselves."""
        if self.open_order:
            return str(self.cleaned_data["order"])
        return drafting.order_of(self.table, self.meanings()).value
