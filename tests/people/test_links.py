"""Links that work once: set-up, guardian, member."""

from __future__ import annotations

from datetime import timedelta
from types import SimpleNamespace

import pytest
from django.http import HttpResponse
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from clubapp.core import limiter
from clubapp.people import actions, links
from clubapp.people.models import Club, Guardian, Membership, OneTimeLink, Role, Squad, User
from tests.cast import PASSWORD, Cast

CLUB = {
    "club": "Millrace Juniors",
    "time_zone": "Europe/London",
    "squad": "Saturday",
    "adult_name": "Hilda",
    "email": "hilda@millrace.example",
    "password": "four-grey-herons",
}
ADULT = {"adult_name": "Iris", "email": "iris@alder.example", "password": "four-grey-herons"}


def unseen(answer: HttpResponse) -> bool:
    return answer["Referrer-Policy"] == "no-referrer" and answer["Cache-Control"] == "no-store"


def guardian_link(cast: Cast) -> tuple[Guardian, str]:
    tie = actions.add_guardian(athlete=cast.ada, details=actions.GuardianDetails(name="Iris"), by=cast.hazel)
    return tie.guardian, actions.invite_guardian(guardian=tie.guardian, by=cast.hazel)


def test_only_the_hash_is_stored(db: None) -> None:
    token = actions.make_set_up_link().rstrip("/").rsplit("/", 1)[1]
    row = OneTimeLink.objects.get()
    assert len(token) >= 43
    assert (row.token_hash, token in str(row.__dict__)) == (links.hashed(token), False)


def test_set_up_makes_club_squad_and_head_coach_and_signs_in(db: None) -> None:
    client, path = Client(), actions.make_set_up_link()
    for _looking in range(2):  # a mail program that looks ahead uses nothing up
        assert unseen(client.get(path))
        assert client.head(path).status_code == 200
    answer = client.post(path, CLUB)
    assert (answer["Location"], unseen(answer)) == (reverse("desk:home"), True)
    coach = User.objects.get(email="hilda@millrace.example")
    assert Membership.objects.get(user=coach).role == Role.HEAD_COACH
    assert (Club.objects.get().time_zone, Squad.objects.get().name) == ("Europe/London", "Saturday")
    assert client.session["_auth_user_id"] == str(coach.pk)
    assert client.get(path).status_code == 404


@pytest.mark.parametrize(
    ("field", "value"),
    [("club", ""), ("time_zone", "Mars/Olympus"), ("squad", "a;b"), ("email", "no"), ("password", "short")],
)
def test_a_refused_set_up_names_the_field_and_uses_nothing_up(db: None, field: str, value: str) -> None:
    client, path = Client(), actions.make_set_up_link()
    answer = client.post(path, CLUB | {field: value})
    assert field in answer.context["form"].errors
    assert not Club.objects.exists()
    assert client.post(path, CLUB).status_code == 302


def test_looking_uses_nothing_up(cast: Cast) -> None:
    _guardian, path = guardian_link(cast)
    client = cast.client()
    for method in (client.get, client.head, client.get):
        assert method(path).status_code == 200
    assert OneTimeLink.objects.get().used_at is None


def test_a_newer_link_replaces_an_unused_one(cast: Cast) -> None:
    guardian, old = guardian_link(cast)
    new = actions.invite_guardian(guardian=guardian, by=cast.hazel)
    assert [cast.client().get(path).status_code for path in (old, new)] == [404, 200]
    first, second = actions.make_set_up_link(), actions.make_set_up_link()
    assert [cast.client().get(path).status_code for path in (first, second)] == [404, 200]


def test_wrong_used_and_old_tokens_look_alike(cast: Cast) -> None:
    _guardian, path = guardian_link(cast)
    OneTimeLink.objects.update(expires_at=timezone.now() - timedelta(seconds=1))
    pages = [cast.client().get(one) for one in (path, reverse("people:invitation", args=["wrong"]))]
    assert [page.status_code for page in pages] == [404, 404]
    assert cast.client().post(path, ADULT).status_code == 404
    assert not User.objects.filter(email=ADULT["email"]).exists()


def test_a_token_opens_only_its_own_door(cast: Cast) -> None:
    token = actions.make_set_up_link().rstrip("/").rsplit("/", 1)[1]
    assert cast.client().get(reverse("people:invitation", args=[token])).status_code == 404


def test_a_guardian_joins_with_a_new_account(cast: Cast) -> None:
    guardian, path = guardian_link(cast)
    client = cast.client()
    assert client.post(path, ADULT)["Location"] == reverse("desk:home")
    guardian.refresh_from_db()
    assert guardian.user is not None
    assert guardian.user.email == "iris@alder.example"
    assert client.session["_auth_user_id"] == str(guardian.user.pk)
    assert cast.client().post(path, ADULT | {"email": "other@alder.example"}).status_code == 404


def test_a_guardian_joins_with_the_account_signed_in(cast: Cast) -> None:
    guardian, path = guardian_link(cast)
    assert cast.client(cast.gus).post(path, {"as_me": "yes"}).status_code == 302
    guardian.refresh_from_db()
    assert guardian.user == cast.gus


def test_a_guardian_joins_with_the_password_of_an_old_account(cast: Cast) -> None:
    guardian, path = guardian_link(cast)
    data = {"adult_name": "Gus", "email": cast.gus.email, "password": "wrong-wrong-wrong"}
    refused = cast.client().post(path, data)
    assert "password" in refused.context["form"].errors
    assert cast.client().post(path, data | {"password": PASSWORD}).status_code == 302
    guardian.refresh_from_db()
    assert guardian.user == cast.gus


def test_an_invitation_is_no_place_to_guess_passwords(cast: Cast, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(limiter, "time", SimpleNamespace(time=lambda: 1_800_000_000))
    _guardian, path = guardian_link(cast)
    data = {"adult_name": "Gus", "email": cast.gus.email, "password": "wrong-wrong-wrong"}
    answers = [cast.client().post(path, data).status_code for _ in range(11)]
    assert answers == [200] * 10 + [429]


def test_as_me_without_being_signed_in_joins_nobody(cast: Cast) -> None:
    guardian, path = guardian_link(cast)
    assert cast.client().post(path, {"as_me": "yes"}).status_code == 200
    guardian.refresh_from_db()
    assert guardian.user is None


def test_a_member_joins_with_role_and_squads(cast: Cast) -> None:
    path = actions.invite_member(club=cast.club, role=Role.ASSISTANT, squads=[cast.squad], by=cast.hazel)
    assert cast.client(cast.sal).post(path, {"as_me": "yes"}).status_code == 302
    membership = Membership.objects.get(user=cast.sal)
    assert (membership.role, list(membership.squads.all())) == (Role.ASSISTANT, [cast.squad])


def test_a_link_never_changes_a_role(cast: Cast) -> None:
    path = actions.invite_member(club=cast.club, role=Role.ASSISTANT, squads=[cast.squad], by=cast.hazel)
    answer = cast.client(cast.hazel).post(path, {"as_me": "yes"})
    assert "another role" in answer.content.decode()
    data = {"adult_name": "H", "email": cast.hazel.email, "password": PASSWORD}
    assert cast.client().post(path, data).status_code == 200
    assert Membership.objects.get(user=cast.hazel).role == Role.HEAD_COACH
    assert OneTimeLink.objects.get().used_at is None


@pytest.mark.django_db
def test_two_taps_let_one_in(cast: Cast) -> None:
    from django.http import Http404

    _guardian, path = guardian_link(cast)
    link = OneTimeLink.objects.get()
    actions.join(link=link, user=cast.gus)
    with pytest.raises(Http404):
        actions.join(link=link, user=cast.sal)
    assert cast.client().get(path).status_code == 404
