"""Parse and check what a guardian sends."""

from __future__ import annotations

from django import forms
from django.utils.translation import gettext_lazy as _


class NoticeForm(forms.Form):
    """ "Cannot come" with a word if the guardian likes, or taken back."""

    op_id = forms.UUIDField(required=False)
    device = forms.CharField(required=False, max_length=64)
    word = forms.CharField(label=_("A word, if you like"), max_length=200, required=False)
    comes = forms.BooleanField(required=False)
