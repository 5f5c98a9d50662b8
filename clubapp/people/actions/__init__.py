"""Every write of the people app."""

from __future__ import annotations

from clubapp.people.actions.athletes import (
    AthleteDetails,
    HealthAnswer,
    change_athlete,
    leave_club,
    make_athlete,
    read_medical_notes,
    return_to_club,
    write_medical_note,
)
from clubapp.people.actions.consents import record_consent
from clubapp.people.actions.doors import (
    NewAdult,
    NewClub,
    add_member,
    invite_guardian,
    invite_member,
    join,
    join_new,
    make_adult,
    make_club,
    make_set_up_link,
    set_up_club,
)
from clubapp.people.actions.erasing import erase_athlete, export_athlete
from clubapp.people.actions.guardians import GuardianDetails, add_guardian, change_guardian, remove_guardian
from clubapp.people.actions.lists import (
    PairWish,
    change_pair_rule,
    change_squad,
    make_pair_rule,
    make_squad,
    remove_pair_rule,
    remove_squad,
    share_results,
)
from clubapp.people.actions.members import AdultRecord, change_member, record_adult, remove_member
from clubapp.people.actions.roster import (
    NotAsShownError,
    confirm_import,
    drop_draft,
    export_roster,
    keep_draft,
    set_columns,
)
from clubapp.people.actions.undoing import Undone, undo_import

__all__ = [
    "AdultRecord",
    "AthleteDetails",
    "GuardianDetails",
    "HealthAnswer",
    "NewAdult",
    "NewClub",
    "NotAsShownError",
    "PairWish",
    "Undone",
    "add_guardian",
    "add_member",
    "change_athlete",
    "change_guardian",
    "change_member",
    "change_pair_rule",
    "change_squad",
    "confirm_import",
    "drop_draft",
    "erase_athlete",
    "export_athlete",
    "export_roster",
    "invite_guardian",
    "invite_member",
    "join",
    "join_new",
    "keep_draft",
    "leave_club",
    "make_adult",
    "make_athlete",
    "make_club",
    "make_pair_rule",
    "make_set_up_link",
    "make_squad",
    "read_medical_notes",
    "record_adult",
    "record_consent",
    "remove_guardian",
    "remove_member",
    "remove_pair_rule",
    "remove_squad",
    "return_to_club",
    "set_columns",
    "set_up_club",
    "share_results",
    "undo_import",
    "write_medical_note",
]
