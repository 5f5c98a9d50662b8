"""Parse and check what a guardian sends."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _


class HealthChangeForm(forms.Form):
    """What an adult on the field is to do, in the guardian's words."""

    what_to_do = forms.CharField(
        label=_("What to do"),
        help_text=_("First, in short sentences: what an adult on the field does."),
        max_length=600,
        widget=forms.Textarea(attrs={"rows": 3}),
    )
    note = forms.CharField(
        label=_("What it is"), max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )


class NoticeForm(forms.Form):
    """ "Cannot come" with a word if the guardian likes, or taken back."""

    op_id = forms.UUIDField(required=False)
    device = forms.CharField(required=False, max_length=64)
    word = forms.CharField(label=_("A word, if you like"), max_length=200, required=False)
    comes = forms.BooleanField(required=False)
