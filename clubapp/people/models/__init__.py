"""The club and the people in it."""

from __future__ import annotations

from clubapp.people.models.children import (
    VISITS_OF_A_FIRST_TIMER,
    Athlete,
    Consent,
    Guardian,
    Guardianship,
    Health,
    HealthProposal,
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
from clubapp.people.models.office import Concern

__all__ = [
    "VISITS_OF_A_FIRST_TIMER",
    "Athlete",
    "Club",
    "Concern",
    "Consent",
    "Guardian",
    "Guardianship",
    "Health",
    "HealthProposal",
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
