"""What a form says when something is wrong, in a coach's words instead of Django's, once for every form there is.

Set on the classes of fields before any form is made (CoreConfig.ready), so that no form can forget it. A field's own
`error_messages` still win. The figures in a sentence are those Django's validators give.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms
from django.utils.translation import gettext_lazy as _

CHOOSE_AGAIN = _("That is not one of the choices any more. Choose again.")
CHOOSE, TICK, FILE_AGAIN = (
    _("Please choose one."),
    _("Please tick at least one."),
    _("No file arrived: choose it again."),
)
A_NUMBER = _("Write a number in digits, like 7.5.")
NOT_OURS = _("That did not come from a button of this page. Load the page again.")
BOUNDS = {"min_value": _("%(limit_value)g or more, please."), "max_value": _("%(limit_value)g or less, please.")}

SENTENCES: Mapping[type[forms.Field], Mapping[str, Any]] = {
    forms.Field: {"required": _("Please fill this in.")},
    forms.CharField: {
        "required": _("Please fill this in."),
        "max_length": _("At most %(limit_value)d letters, please; there are %(show_value)d."),
        "null_characters_not_allowed": _("There is something in this that cannot be read. Type it again."),
    },
    forms.EmailField: {"invalid": _("An e-mail looks like name@place.example. Look at it again.")},
    forms.RegexField: {"invalid": NOT_OURS},
    forms.UUIDField: {"invalid": NOT_OURS},
    forms.JSONField: {"invalid": NOT_OURS},
    forms.IntegerField: {"invalid": _("Write a whole number in digits."), **BOUNDS},
    forms.FloatField: {"invalid": A_NUMBER, **BOUNDS},
    forms.DecimalField: {
        "invalid": A_NUMBER,
        "max_digits": _("At most %(max)s digits, please."),
        "max_decimal_places": _("At most %(max)s digits after the point, please."),
        "max_whole_digits": _("At most %(max)s digits before the point, please."),
        **BOUNDS,
    },
    forms.DateField: {"invalid": _("Write a day that is in the calendar, like 2026-05-09.")},
    forms.TimeField: {"invalid": _("Write a time of the day, like 10:30.")},
    forms.ChoiceField: {"required": CHOOSE, "invalid_choice": CHOOSE_AGAIN},
    forms.ModelChoiceField: {"required": CHOOSE, "invalid_choice": CHOOSE_AGAIN},
    forms.MultipleChoiceField: {"required": TICK, "invalid_choice": CHOOSE_AGAIN, "invalid_list": CHOOSE_AGAIN},
    forms.ModelMultipleChoiceField: {
        "required": TICK,
        "invalid_choice": CHOOSE_AGAIN,
        "invalid_list": CHOOSE_AGAIN,
        "invalid_pk_value": CHOOSE_AGAIN,
    },
    forms.FileField: {
        "required": _("Please choose a file."),
        "empty": _("The file is empty. Choose another one."),
        "invalid": FILE_AGAIN,
        "missing": FILE_AGAIN,
    },
}


def speak_plainly() -> None:
    """Give every class of fields our sentences; before the first form is made."""
    for field, sentences in SENTENCES.items():
        field.default_error_messages = {**vars(field).get("default_error_messages", {}), **sentences}
