"""The adults of the club: asked in, their roles at once, what was seen of them."""

from __future__ import annotations

from datetime import timedelta

import pytest
from django.urls import reverse

from clubapp.core.models import AuditLog, Outbox
from clubapp.core.tell import PEOPLE
from clubapp.people import access, actions
from clubapp.people.models import Membership, Role, User
from clubapp.planning.access import visible_to as sessions_of
from clubapp.register import actions as register
from clubapp.register.actions import Adult, Tap
from tests.cast import Cast, make_cast
from tests.people.access import only_the_head_coach

MEMBERS = reverse("people:members")


def of(cast: Cast, name: str) -> Membership:
    return Membership.objects.get(user=getattr(cast, name))


def page_of(cast: Cast, name: str, action: str = "member") -> str:
    return reverse(f"people:{action}", args=[of(cast, name).pk])


def test_only_the_head_coach_changes_adults_and_the_welfare_officer_looks(cast: Cast) -> None:
    for name in ("member", "member_remove"):
        only_the_head_coach(cast, page_of(cast, "finn", name))
    assert cast.client().get(MEMBERS).status_code == 302
    seen = {name: cast.client(getattr(cast, name)).get(MEMBERS).status_code for name in ("sal", "greta", "finn")}
    assert set(seen.values()) == {404}
    looks = cast.client(cast.wanda)
    assert "no vetting seen" in looks.get(MEMBERS).content.decode()
    answer = looks.post(MEMBERS, {"role": "assistant", "squads": [str(cast.squad.pk)]})
    assert "address" not in answer.context
    assert "invite" not in answer.content.decode()
    assert "Finn" not in cast.client(cast.olga).get(MEMBERS).content.decode()


def test_an_assistant_is_invited_for_squads(cast: Cast) -> None:
    page = cast.client(cast.hazel).post(MEMBERS, {"role": "assistant", "squads": [str(cast.squad.pk)]})
    assert page["Cache-Control"] == "no-store"
    link = page.context["address"].removeprefix("http://testserver")
    cast.client(cast.sal).post(link, {"as_me": "yes"})
    assert set(access.visible_to(cast.sal)) == set(cast.athletes)


@pytest.mark.parametrize(
    ("data", "field"),
    [
        ({"role": "assistant"}, "squads"),
        ({"role": "head_coach"}, "role"),
        ({"role": "assistant", "squads": "x"}, "squads"),
    ],
)
def test_a_bad_invitation_is_refused(cast: Cast, data: dict[str, str], field: str) -> None:
    assert field in cast.client(cast.hazel).post(MEMBERS, data).context["form"].errors


def test_an_assistant_changes_squads_and_goes(cast: Cast) -> None:
    client = cast.client(cast.hazel)
    client.post(page_of(cast, "finn"), {"role": "assistant", "squads": []})
    assert not access.visible_to(cast.finn).exists()
    client.post(page_of(cast, "finn", "member_remove"))
    assert not Membership.objects.filter(user=cast.finn).exists()
    assert not sessions_of(cast.finn).exists()


@pytest.mark.django_db(transaction=True)
def test_a_changed_role_counts_at_once_and_closes_open_pages() -> None:
    from asgiref.sync import async_to_sync
    from channels.layers import get_channel_layer

    cast = make_cast()
    open_page = cast.client(cast.finn)
    assert open_page.get(reverse("register:register", args=[cast.session.pk])).status_code == 200
    layer = get_channel_layer()
    channel = async_to_sync(layer.new_channel)()
    async_to_sync(layer.group_add)(PEOPLE, channel)
    cast.client(cast.hazel).post(page_of(cast, "finn"), {"role": "welfare", "squads": [str(cast.squad.pk)]})
    assert async_to_sync(layer.receive)(channel) == {"type": "closed", "user": str(cast.finn.pk), "code": 4001}
    assert open_page.get(reverse("register:register", args=[cast.session.pk])).status_code == 404
    assert AuditLog.objects.filter(verb="made", kind=Role.WELFARE, about=cast.finn.pk, user=cast.hazel).exists()


def test_a_head_coach_stays_whatever_is_sent(cast: Cast) -> None:
    """Nobody takes the own role away, so that one who may change roles is always left."""
    client = cast.client(cast.hazel)
    assert client.post(page_of(cast, "hazel", "member_remove")).status_code == 404
    client.post(page_of(cast, "hazel"), {"role": "assistant", "eighteen": "on"})
    assert (of(cast, "hazel").role, of(cast, "hazel").eighteen) == (Role.HEAD_COACH, True)
    client.post(page_of(cast, "finn"), {"role": "head_coach"})
    cast.client(cast.finn).post(page_of(cast, "hazel"), {"role": "welfare"})
    assert of(cast, "hazel").role == Role.WELFARE
    with pytest.raises(ValueError, match="own role"):
        actions.change_member(membership=of(cast, "finn"), role=Role.WELFARE, squads=[], by=cast.finn)


def test_bad_dates_name_the_field_and_save_nothing(cast: Cast) -> None:
    year = cast.club.today().year
    for field, value in (("vetted_until", "soon"), ("first_aid_until", f"{year + 100}-01-01")):
        data = {"role": "welfare", "eighteen": "on", field: value}
        page = cast.client(cast.hazel).post(page_of(cast, "finn"), data)
        assert field in page.context["seen"].errors
    assert "role" in cast.client(cast.hazel).post(page_of(cast, "finn"), {"role": "owner"}).context["roles"].errors
    assert (of(cast, "finn").role, of(cast, "finn").eighteen) == (Role.ASSISTANT, False)


def test_nobody_is_cleared_who_was_not_seen(cast: Cast) -> None:
    """Vetting holds through its last day; a new adult has none, and no age."""
    finn, today = of(cast, "finn"), cast.club.today()
    assert (finn.eighteen, finn.vetted_on(today), finn.first_aider_on(today)) == (False, False, False)
    actions.record_adult(membership=finn, seen=actions.AdultRecord(True, today, today), by=cast.hazel)
    assert (finn.vetted_on(today), finn.vetted_on(today + timedelta(days=1))) == (True, False)
    assert AuditLog.objects.get(verb="recorded").detail == {"fields": ["eighteen", "vetted_until", "first_aid_until"]}


def test_the_register_tells_who_runs_the_session_whom_nobody_vetted(cast: Cast) -> None:
    """Only who runs it: what is written of an adult is no colleague's business."""
    today = cast.club.today()
    actions.record_adult(membership=of(cast, "finn"), seen=actions.AdultRecord(True, today, today), by=cast.hazel)

    def comes(user: User) -> None:
        adult = Adult(user.pk, user.name, here=True, eighteen=True, user_id=user.pk)
        register.mark_adult(session=cast.session, adult=adult, tap=Tap(cast.hazel))

    def page(user: str) -> str:
        path = reverse("register:register", args=[cast.session.pk])
        return cast.client(getattr(cast, user)).get(path).content.decode()

    comes(cast.hazel)
    assert "written down for Hazel" in page("hazel")
    assert "Nobody here has first aid" in page("hazel")
    assert "written down for" not in page("finn")
    comes(cast.finn)
    assert "Nobody here has first aid" not in page("hazel")
    assert "written down for Hazel:" in page("hazel")


def test_an_assistant_is_asked_in_by_mail(cast: Cast) -> None:
    data = {"role": "assistant", "squads": [str(cast.squad.pk)], "email": "ivo@alder.example"}
    answer = cast.client(cast.hazel).post(MEMBERS, data)
    assert (answer.status_code, "address" in (answer.context or {})) == (302, False)
    mail = Outbox.objects.get()
    assert (mail.to, mail.club_id) == ("ivo@alder.example", cast.club.pk)
    link = next(word for word in mail.text.split() if "/invitation/" in word).removeprefix("http://testserver")
    cast.client(cast.sal).post(link, {"as_me": "yes"})
    assert of(cast, "sal").role == Role.ASSISTANT
    assert "email" in cast.client(cast.hazel).post(MEMBERS, data | {"email": "no"}).context["form"].errors
