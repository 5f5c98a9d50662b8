"""A concern, and what to look for in the log."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _

from clubapp.people.actions import Worry
from clubapp.people.forms.fields import WordsField


class ConcernForm(forms.Form):
    about = WordsField(label=_("About whom"), max_length=120, help_text=_("A child or an adult, by name."))
    words = forms.CharField(
        label=_("What you saw or heard"),
        max_length=4000,
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text=_("When, where, who was there; a child's own words as they were said. No guesses."),
    )

    def worry(self) -> Worry:
        return Worry(about=self.cleaned_data["about"], words=self.cleaned_data["words"])
