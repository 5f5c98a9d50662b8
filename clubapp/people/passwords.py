"""What a new password must be: Django's checks, said in our words."""

from __future__ import annotations

from django.contrib.auth import password_validation as checks
from django.utils.translation import gettext as _


class LongEnough(checks.MinimumLengthValidator):
    def get_error_message(self) -> str:
        return _("Too short: %(least)d letters or more. Add a word.") % {"least": self.min_length}


class NotCommon(checks.CommonPasswordValidator):
    def get_error_message(self) -> str:
        return _("Others would guess this one first. Take four words that do not belong together.")


class NotOnlyDigits(checks.NumericPasswordValidator):
    def get_error_message(self) -> str:
        return _("Digits alone are guessed fast. Add a word.")
