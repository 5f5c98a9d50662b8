"""The demo beside a club that is somebody's: it touches nothing of theirs."""

from __future__ import annotations

import pytest

from clubapp.desk.demo import load as loading
from clubapp.desk.demo.clear import clear, demo_club
from clubapp.desk.demo.load import OtherClubError, load
from clubapp.people.models import Athlete, Club, Membership, User
from clubapp.planning.models import Session
from clubapp.register.models import Mark
from tests.cast import Cast


def counts() -> dict[str, int]:
    models = (Club, User, Membership, Athlete, Session, Mark)
    return {model.__name__: model.objects.count() for model in models}


def test_it_stays_out_of_somebody_s_own_club(cast: Cast) -> None:
    before = counts()
    with pytest.raises(OtherClubError):
        load(fresh=True)
    assert counts() == before


def test_clearing_leaves_another_club_alone(cast: Cast) -> None:
    before = counts()
    passwords = {adult.email: "grey-heron-9" for adult in loading.demo_adults()}
    club = loading.make_people(passwords)
    loading.make_today(club)
    assert demo_club() == club
    clear()
    assert counts() == before
