"""What published guides say after a suspected head injury, in our own words, with whose it is. Never a diagnosis."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from django.utils.translation import gettext as _

from clubapp.engine.safety import Guide
from clubapp.live.incident_rows import Hurt


@dataclass(frozen=True)
class Dated:
    """One guide's earliest day. on: None while it hangs on a day nobody has recorded."""

    what: str
    on: date | None
    source: str
    open: str = ""


@dataclass(frozen=True)
class Cautions:
    """do: in this order. signs: any one of them is enough to suspect it. source: whose. defer: who decides."""

    do: tuple[str, ...]
    signs: tuple[str, ...]
    source: str
    defer: str


def cautions() -> Cautions:
    """The usual ones. The signs are those of the pocket card for lay people; the ambulance is common practice."""
    return Cautions(
        do=(
            _("Off at once, and no return today, however well the child seems."),
            _("An adult stays with the child; not left alone, not sent home alone."),
            _("Passed out, has a fit, or gets worse: call an ambulance."),
            _("Tell the guardian today: what happened, and that a doctor or nurse should be asked."),
        ),
        signs=(
            _("lying still, a fit, passing out, even for a moment"),
            _("unsteady, dazed, confused, clutching the head"),
            _("headache, dizzy, feeling sick, trouble seeing, light or noise hurts, very tired"),
        ),
        source=_(
            "UK concussion guidelines for grassroots sport (2023); Australian Concussion Guidelines for Youth and "
            "Community Sport; signs as on World Rugby's pocket card for lay people"
        ),
        defer=_("This only keeps a record. Local rules and qualified people decide; if in doubt, call for help."),
    )


def dates(hurt: Hurt) -> tuple[Dated, ...]:
    return tuple(_dated(row.guide, row.on) for row in hurt.returns)


def _dated(guide: Guide, on: date | None) -> Dated:
    match guide:
        case Guide.UK_REST:
            return Dated(_("Rest, at least until"), on, _("UK grassroots guidelines 2023: at least 24 hours"))
        case Guide.UK_COMPETITION:
            return Dated(_("No competition before"), on, _("UK grassroots guidelines 2023: 21 days"))
        case _:
            return Dated(
                _("No contact before, and then only with medical clearance"),
                on,
                _("Australian guidelines, 18 years and younger: 14 days after all signs have gone"),
                _("open: nobody has recorded since when all signs are gone"),
            )
