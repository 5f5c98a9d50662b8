"""What the club writes by mail to an adult. No letter names a child or says anything of health."""

from __future__ import annotations

from datetime import timedelta

from django.conf import settings
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from clubapp.core.post import Letter
from clubapp.people.links import DAYS_GOOD
from clubapp.people.models import Club, Guardian, OneTimeLink, User

INVITATION = "invitation"


def to_guardian(guardian: Guardian, address: str) -> Letter:
    text = _(
        "Hello %(name)s,\n\n%(club)s asks you in as a guardian: you see when your child trains, and can say that it "
        "cannot come.\n\nOpen this on your phone and press the button there. It works once, for %(days)d days:\n"
        "%(address)s\n\nYou know nobody there? Then do nothing: without the button nothing happens.\n"
    ) % _of(guardian.club, address, guardian.name, OneTimeLink.Purpose.GUARDIAN)
    letter = _invitation(guardian.club, guardian.email, text, OneTimeLink.Purpose.GUARDIAN)
    return Letter(**{**vars(letter), "person": guardian.pk})


def to_member(club: Club, email: str, role: str, address: str) -> Letter:
    values = _of(club, address, "", OneTimeLink.Purpose.MEMBER)
    text = _(
        "Hello,\n\n%(club)s asks you in as %(role)s.\n\nOpen this on your phone and press the button there. It works "
        "once, for %(days)d days:\n%(address)s\n\nYou know nobody there? Then do nothing: without the button nothing "
        "happens.\n"
    ) % {**values, "role": role}
    return _invitation(club, email, text, OneTimeLink.Purpose.MEMBER)


def concern_waits(club: Club, officer: User, host: str) -> Letter:
    """Says that there is something to read and nothing else; of no club, so that no head coach sees it went out."""
    text = _("Hello %(name)s,\n\nsomething was written for you as welfare officer of %(club)s:\n%(address)s\n") % {
        "name": officer.name,
        "club": club.name,
        "address": absolute(reverse("people:concerns"), host),
    }
    return Letter(to=officer.email, subject=_("Something to read"), text=text, kind="concern", person=officer.pk)


def password_changed(user: User) -> Letter:
    """Of no club: it is the adult's own business."""
    text = _(
        "Hello %(name)s,\n\nyour password for Fieldbell was changed just now, and every other sign-in was ended.\n\n"
        "It was not you? Choose another one at once, by “Password forgotten” on the page where you sign in, and tell "
        "the head coach.\n"
    ) % {"name": user.name}
    return Letter(to=user.email, subject=_("Your password was changed"), text=text, kind="password", person=user.pk)


def absolute(path: str, host: str) -> str:
    """The whole address of a page; `host` is what the page was asked under, where no public address is set."""
    return f"{settings.PUBLIC_URL or host}{path}"


def _of(club: Club, address: str, name: str, purpose: OneTimeLink.Purpose) -> dict[str, object]:
    return {"club": club.name, "address": address, "name": name, "days": DAYS_GOOD[purpose]}


def _invitation(club: Club, to: str, text: str, purpose: OneTimeLink.Purpose) -> Letter:
    until = timezone.now() + timedelta(days=DAYS_GOOD[purpose])
    subject = _("%(club)s asks you in") % {"club": club.name}
    return Letter(to=to, subject=subject, text=text, kind=INVITATION, club_id=club.pk, until=until)
