"""Writes the invented club and its people."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from django.urls import resolve

from clubapp.desk.demo import scenario
from clubapp.people import actions, links
from clubapp.people.models import (
    Athlete,
    Club,
    Consent,
    Guardian,
    Guardianship,
    Health,
    OneTimeLink,
    PairRule,
    Role,
    Squad,
    User,
)
from clubapp.results import actions as results_actions

Passwords = Mapping[str, str | None]  # by e-mail; None for an adult who needs none
Roster = Mapping[str, Athlete]  # by roster id


def make_people(passwords: Passwords) -> Club:
    """Club, adults, children, rules and notes."""
    coach = account(scenario.HEAD_COACH, passwords)
    club = actions.make_club(new=actions.NewClub(scenario.CLUB, scenario.ZONE, scenario.SQUAD, coach))
    squad = club.squads.get()
    for adult in scenario.ASSISTANTS:
        user = actions.make_adult(new=account(adult, passwords))
        actions.add_member(club=club, user=user, role=Role.ASSISTANT, squads=[squad])
    record_adults(club)
    roster = {child.id: make_child(club, squad, child) for child in scenario.CHILDREN}
    make_guardians(roster, passwords)
    write_homes(roster)
    make_rules(club, roster)
    write_notes(roster)
    write_times(club, roster)
    actions.share_results(squad=squad, shared=True, by=User.objects.get(email=scenario.HEAD_COACH.email))
    return club


def account(adult: scenario.Adult, passwords: Passwords) -> actions.NewAdult:
    return actions.NewAdult(adult.name, adult.email, passwords[adult.email])


def record_adults(club: Club) -> None:
    """Everybody was vetted; the coach and the first assistant know first aid."""
    coach, today = User.objects.get(email=scenario.HEAD_COACH.email), club.today()
    first_aiders = (scenario.HEAD_COACH.email, scenario.ASSISTANTS[0].email)
    for row in club.memberships.select_related("user"):
        holds = today + timedelta(weeks=60) if row.user.email in first_aiders else None
        seen = actions.AdultRecord(True, vetted_until=today + timedelta(weeks=90), first_aid_until=holds)
        actions.record_adult(membership=row, seen=seen, by=coach)


def make_child(club: Club, squad: Squad, child: scenario.Child) -> Athlete:
    today = club.today()
    details = actions.AthleteDetails(
        given_name=child.given,
        family_name=child.family,
        known_as=child.known_as,
        date_of_birth=birthday(today, *child.age),
        sex=child.sex,
        skill=child.skill,
        joined_on=today - timedelta(weeks=60 if child.known_before else child.visits),
        sessions_before=child.known_before,
        roster_id=child.id,
    )
    return actions.make_athlete(club=club, details=details, squads=[squad])


def birthday(today: date, years: int, days: int) -> date:
    """The date of birth of somebody who turned `years` so many days ago."""
    turned = today - timedelta(days=days)
    # 29 February has no birthday in most years.
    return turned.replace(year=turned.year - years, day=min(turned.day, 28))


def make_guardians(roster: Roster, passwords: Passwords) -> None:
    for kin in scenario.GUARDIANS:
        details = actions.GuardianDetails(kin.adult.name, kin.phone, kin.adult.email, kin.relation, may_collect=True)
        known: Guardian | None = None
        for child in kin.children:
            known = actions.add_guardian(athlete=roster[child], details=details, by=None, known=known).guardian
        if known is not None:
            let_in(known, account(kin.adult, passwords))
            agree(kin, roster, known)


def agree(kin: scenario.Kin, roster: Roster, guardian: Guardian) -> None:
    """To everything but going home alone; photographs of the first child only."""
    by = User.objects.get(email=kin.adult.email)
    for child in kin.children:
        tie = Guardianship.objects.get(guardian=guardian, athlete=roster[child])
        for kind in (Consent.Kind.FIRST_AID, Consent.Kind.DATA, Consent.Kind.PHOTOGRAPHS):
            given = kind != Consent.Kind.PHOTOGRAPHS or child == kin.children[0]
            actions.record_consent(tie=tie, kind=kind, given=given, by=by)


def write_homes(roster: Roster) -> None:
    """Adults whom the coach wrote down, and what they said."""
    coach = User.objects.get(email=scenario.HEAD_COACH.email)
    for number, home in enumerate(scenario.HOMES, start=110):
        details = actions.GuardianDetails(home.name, f"+447700900{number}", "", home.relation, may_collect=True)
        tie = actions.add_guardian(athlete=roster[home.child], details=details, by=coach)
        said = {Consent.Kind.FIRST_AID: True, Consent.Kind.DATA: True, Consent.Kind.PHOTOGRAPHS: home.photographs}
        for kind, given in said.items():
            actions.record_consent(tie=tie, kind=kind, given=given, by=coach)


def let_in(guardian: Guardian, new: actions.NewAdult) -> None:
    """By an invitation, like any guardian."""
    path = actions.invite_guardian(guardian=guardian, by=User.objects.get(email=scenario.HEAD_COACH.email))
    token = str(resolve(path).kwargs["token"])
    actions.join_new(link=links.good_link(token, OneTimeLink.Purpose.GUARDIAN), new=new)


def make_rules(club: Club, roster: Roster) -> None:
    for pair in scenario.PAIRS:
        children = tuple(roster[child] for child in pair.children)
        wish = actions.PairWish(PairRule.Kind(pair.kind), children, pair.reason)
        actions.make_pair_rule(club=club, wish=wish)


def write_notes(roster: Roster) -> None:
    """Two children have a note; of the others an adult said that there is nothing to know."""
    notes = {note.child: note for note in scenario.NOTES}
    for id, athlete in roster.items():
        note = notes.get(id)
        answer = actions.HealthAnswer(Health.NOTHING)
        if note is not None:
            answer = actions.HealthAnswer(Health.NOTE, note.what_to_do, note.what, to_bring=True)
        actions.write_medical_note(athlete=athlete, answer=answer, by=None)


def write_times(club: Club, roster: Roster) -> None:
    """The timed test of two weeks ago."""
    milliseconds = {
        roster[child.id].pk: round(child.speed_s * 1000) for child in scenario.CHILDREN if child.speed_s is not None
    }
    results_actions.add_speeds(club_id=club.pk, milliseconds=milliseconds, on=club.today() - timedelta(weeks=2))
