"""Addresses of the people pages."""

from __future__ import annotations

from django.urls import path

from clubapp.people.views import (
    account,
    athletes,
    doors,
    guardians,
    health,
    keeping,
    lists,
    members,
    merging,
    office,
    roster,
    waiting,
)

app_name = "people"

door_urls = [
    path("sign-in/", doors.sign_in, name="sign_in"),
    path("sign-out/", doors.sign_out, name="sign_out"),
    path("set-up/<str:token>/", doors.set_up, name="set_up"),
    path("invitation/<str:token>/", doors.invitation, name="invitation"),
]

athlete_urls = [
    path("athletes/", athletes.athletes, name="athletes"),
    path("waiting-list/", waiting.waiting_list, name="waiting_list"),
    path("athletes/new/", athletes.athlete_new, name="athlete_new"),
    path("athletes/<uuid:athlete_id>/", athletes.athlete, name="athlete"),
    path("athletes/<uuid:athlete_id>/health/", health.medical_note, name="medical_note"),
    path("athletes/<uuid:athlete_id>/health/<uuid:proposal_id>/", health.health_proposal, name="health_proposal"),
    path("athletes/<uuid:athlete_id>/leave/", athletes.athlete_leave, name="athlete_leave"),
    path("athletes/<uuid:athlete_id>/return/", athletes.athlete_return, name="athlete_return"),
    path("athletes/<uuid:athlete_id>/merge/", merging.athlete_merge, name="athlete_merge"),
    path("athletes/<uuid:athlete_id>/wait/", waiting.athlete_wait, name="athlete_wait"),
    path("athletes/<uuid:athlete_id>/place/", waiting.athlete_place, name="athlete_place"),
    path("athletes/<uuid:athlete_id>/record/", athletes.athlete_record, name="athlete_record"),
    path("athletes/<uuid:athlete_id>/erase/", athletes.athlete_erase, name="athlete_erase"),
]

ADULT = "athletes/<uuid:athlete_id>/adults/<uuid:guardian_id>/"
guardian_urls = [
    path("athletes/<uuid:athlete_id>/adults/new/", guardians.guardian_new, name="guardian_new"),
    path(ADULT, guardians.guardian, name="guardian"),
    path(f"{ADULT}remove/", guardians.guardian_remove, name="guardian_remove"),
    path("athletes/<uuid:athlete_id>/consents/", guardians.consent, name="consent"),
    path("adults/<uuid:guardian_id>/link/", guardians.guardian_link, name="guardian_link"),
]

list_urls = [
    path("squads/", lists.squads, name="squads"),
    path("squads/<uuid:squad_id>/", lists.squad, name="squad"),
    path("squads/<uuid:squad_id>/remove/", lists.squad_remove, name="squad_remove"),
    path("pairs/", lists.pair_rules, name="pair_rules"),
    path("pairs/<uuid:rule_id>/", lists.pair_rule, name="pair_rule"),
    path("pairs/<uuid:rule_id>/remove/", lists.pair_rule_remove, name="pair_rule_remove"),
    path("members/", members.members, name="members"),
    path("members/second-step/", account.ask_second_step, name="ask_second_step"),
    path("members/<uuid:membership_id>/", members.member, name="member"),
    path("members/<uuid:membership_id>/remove/", members.member_remove, name="member_remove"),
]

office_urls = [
    path("mails/", office.mails, name="mails"),
    path("log/", office.log, name="log"),
    path("concerns/", office.concerns, name="concerns"),
    path("concerns/new/", office.concern_new, name="concern_new"),
    path("concerns/<uuid:concern_id>/remove/", keeping.concern_remove, name="concern_remove"),
    path("keeping/", keeping.keeping, name="keeping"),
    path("keeping/remove/", keeping.tidy, name="tidy"),
    path("keeping/monthly/", keeping.tidy_monthly, name="tidy_monthly"),
]

roster_urls = [
    path("roster/", roster.roster_import, name="roster_import"),
    path("roster/undo/", roster.import_undo, name="import_undo"),
    path("roster/export/", roster.roster_export, name="roster_export"),
    path("roster/<uuid:draft_id>/", roster.import_preview, name="import_preview"),
    path("roster/<uuid:draft_id>/columns/", roster.import_columns, name="import_columns"),
    path("roster/<uuid:draft_id>/confirm/", roster.import_confirm, name="import_confirm"),
    path("roster/<uuid:draft_id>/drop/", roster.import_drop, name="import_drop"),
]

urlpatterns = [*door_urls, *athlete_urls, *guardian_urls, *list_urls, *office_urls, *roster_urls]
