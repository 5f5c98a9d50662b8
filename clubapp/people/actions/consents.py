"""What a guardian allows for a child, and takes back again."""

from __future__ import annotations

from django.db import transaction

from clubapp.core.audit import record
from clubapp.people.consents import WORDINGS
from clubapp.people.models import Consent, Guardianship, User


@transaction.atomic
def record_consent(*, tie: Guardianship, kind: str, given: bool, by: User) -> Consent:
    """Add what this guardian said of this child, in the wording of today. Nothing is ever changed or taken away."""
    row = Consent.objects.create(
        athlete=tie.athlete,
        guardian=tie.guardian,
        kind=kind,
        given=given,
        wording=WORDINGS[kind].version,
        by=by,
    )
    record(
        club_id=tie.athlete.club_id,
        user_id=by.pk,
        verb="given" if given else "withdrawn",
        kind=f"consent {kind}",
        about=tie.athlete_id,
        guardian=str(tie.guardian_id),
    )
    return row
