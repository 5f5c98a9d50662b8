"""What a guardian answered, as the leader notes it down."""

from __future__ import annotations

from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

from clubapp.people.models import Athlete, Guardian
from clubapp.register.actions import Noted
from clubapp.register.forms import TapForm
from clubapp.register.models import Contacted


class AnswerForm(TapForm):
    """The guardian is one of the child's own, or nobody where nobody was reached."""

    said = forms.ChoiceField(choices=Contacted.Answer.choices, widget=forms.HiddenInput)
    guardian = forms.ModelChoiceField(label=_("Who was asked"), queryset=Guardian.objects.none(), required=False)
    word = forms.CharField(label=_("A word"), max_length=200, required=False)

    def __init__(self, child: Athlete, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        field = self.fields["guardian"]
        assert isinstance(field, forms.ModelChoiceField)
        field.queryset = Guardian.objects.filter(children__athlete=child)

    def noted(self) -> Noted:
        """Only after `is_valid`."""
        data = self.cleaned_data
        return Noted(said=data["said"], word=data["word"].strip(), guardian=data["guardian"])
