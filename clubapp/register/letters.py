"""What the adults of a child are written when somebody else is to take it home. No letter names a child or an adult."""

from __future__ import annotations

from datetime import timedelta

from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from clubapp.core.post import Letter, send
from clubapp.people.models import Guardian, Guardianship
from clubapp.register.models import PickUp

KIND = "pick-up"
OF_USE = timedelta(hours=3)  # past the planned end
RING = gettext_lazy("If you know nothing of it, ring the club at once.")
ASKED = gettext_lazy(
    "An adult responsible for your child asked that somebody else takes it home today. Nothing is changed until the "
    "club has confirmed it."
)
CONFIRMED = gettext_lazy("The club has confirmed that somebody else takes your child home today.")
REFUSED = gettext_lazy(
    "The club has not agreed that somebody else takes your child home today: it goes with the adults who may collect "
    "it anyway."
)
WITHDRAWN = gettext_lazy("The wish that somebody else takes your child home today was taken back.")


def tell_others(row: PickUp, what: object, *, but_for: Guardian | None = None) -> None:
    """One mail to each adult with an address whose contact is not restricted; but_for: whoever did it."""
    session = row.session
    words = {"squad": session.squad.name, "time": f"{session.starts:%H:%M}"}
    subject = (_("Who picks up today: %(squad)s, %(time)s") % words)[:120]
    ties = Guardianship.objects.filter(athlete=row.athlete_id).exclude(guardian__email="").select_related("guardian")
    for tie in ties.order_by("pk"):
        if but_for is None or tie.guardian_id != but_for.pk:
            send(
                Letter(
                    to=tie.guardian.email,
                    subject=subject,
                    text=f"{what}\n\n{RING}\n\n{session.club.name}\n",
                    kind=KIND,
                    club_id=session.club_id,
                    person=tie.guardian_id,
                    about=row.athlete_id,
                    until=session.ends_at + OF_USE,
                )
            )
