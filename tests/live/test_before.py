"""Before the start: stations without an adult or with only an unvetted one, and nobody with first aid, by name."""

from __future__ import annotations

from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from clubapp.live import actions
from clubapp.live.access import Role, Watcher
from clubapp.live.before import missing
from clubapp.people.models import Membership
from clubapp.register.actions import Adult, Tap, mark_adult
from tests.cast import Cast
from tests.live.evening import assistant, give, helper, leader, pass_of, ready


def test_what_is_missing_is_named_until_it_is_there(cast: Cast) -> None:
    one, two, three = cast.session.stations.order_by("number")
    assert missing(cast.session) == [
        "Nobody has said yet that they look after: 1 Station 1, 2 Station 2, 3 Station 3.",
        "None of the squad's adults has first aid that the club knows to be valid that day.",
    ]
    actions.hold_station(by=assistant(cast), station=one)
    _client, visitor = helper(pass_of(cast), cast.hazel, "Tom")
    actions.hold_station(by=actions_watcher(cast, visitor), station=two)
    Membership.objects.filter(user=cast.hazel).update(vetted_until=cast.session.date)
    actions.hold_station(by=leader(cast), station=three)
    unvetted = "has only %s, without a vetting that the club knows to be valid."
    assert missing(cast.session)[:-1] == ["1 Station 1 " + unvetted % "Finn", "2 Station 2 " + unvetted % "Tom"]
    Membership.objects.filter(user=cast.finn).update(vetted_until=cast.session.date, first_aid_until=cast.session.date)
    assert missing(cast.session) == ["2 Station 2 " + unvetted % "Tom"]
    tap = Tap(cast.hazel)
    mark_adult(session=cast.session, adult=Adult(cast.hazel.pk, "Hazel", True, True, cast.hazel.pk), tap=tap)
    assert missing(cast.session)[-1] == "Nobody here has first aid that the club knows to be valid."
    cast.session.date += timedelta(days=1)  # then nothing of it holds any more
    assert "3 Station 3 " + unvetted % "Hazel" in missing(cast.session)


def test_the_leader_sees_it_on_both_first_pages_and_nobody_else(cast: Cast) -> None:
    start = (timezone.now() + timedelta(minutes=5)).astimezone(cast.club.zone)
    cast.session.date, cast.session.starts = start.date(), start.time()
    cast.session.save()
    bell, home = reverse("live:bell", args=[cast.session.pk]), reverse("desk:home")
    for user, sees in ((cast.hazel, True), (cast.finn, False)):
        for path in (bell, home):
            html = cast.client(user).get(path).content.decode()
            assert ("Nobody has said yet that they look after" in html) is sees, (user.name, path)
    ready(cast)
    give(leader(cast), "start")
    assert "Before the start" not in cast.client(cast.hazel).get(bell).content.decode()


def actions_watcher(cast: Cast, visitor: object) -> Watcher:
    return Watcher(cast.session, Role.HELPER, visitor=visitor)  # type: ignore[arg-type]
