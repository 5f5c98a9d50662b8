"""The club and the people in it."""

from __future__ import annotations

from clubapp.people.models.children import (
    VISITS_OF_A_FIRST_TIMER,
    Athlete,
    Consent,
    Guardian,
    Guardianship,
    Health,
    MedicalNote,
    PairRule,
    Sex,
)
from clubapp.people.models.club import (
    Club,
    Membership,
    Role,
    Squad,
    User,
    UserManager,
)
from clubapp.people.models.doors import (
    Import,
    ImportDraft,
    OneTimeLink,
)

__all__ = [
    "VISITS_OF_A_FIRST_TIMER",
    "Athlete",
    "Club",
    "Consent",
    "Guardian",
    "Guardianship",
    "Health",
    "Import",
    "ImportDraft",
    "MedicalNote",
    "Membership",
    "OneTimeLink",
    "PairRule",
    "Role",
    "Sex",
    "Squad",
    "User",
    "UserManager",
]
