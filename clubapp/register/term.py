"""A term's attendance as a table: its headings and one row a child."""

from __future__ import annotations

from django.utils.translation import gettext_lazy as _

from clubapp.register.attendance import Line

HEADINGS = (
    _("Child"),
    _("Sessions"),
    _("Here"),
    _("of these late"),
    _("of these go easy"),
    _("Told us"),
    _("Not here"),
    _("Not marked"),
)


def cells(line: Line) -> list[str | int]:
    numbers = (line.sessions, line.came, line.late, line.easy, line.told, line.absent, line.unmarked)
    return [line.child.full_name, *numbers]
