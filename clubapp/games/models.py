"""Games of a session: what was asked for, each draw as it was made, and what adults entered on the field."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from clubapp.core.models import FieldWrite, PublicId
from clubapp.people.models import Squad
from clubapp.planning.models import Session


class Game(PublicId):
    """One game. wishes: what the coach asked for; what came of it stands in its draws. Ids only, never names."""

    class State(models.TextChoices):
        READY = "ready", _("ready to start")
        RUNNING = "running", _("running")
        OVER = "over", _("over")
        DROPPED = "dropped", _("taken away")

    session = models.ForeignKey(Session, on_delete=models.CASCADE, related_name="games")
    number = models.PositiveSmallIntegerField(help_text="in its session, from 1")
    kind = models.CharField(max_length=20)
    wishes = models.JSONField(default=dict)
    state = models.CharField(max_length=8, choices=State.choices, default=State.READY)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
    began_at = models.DateTimeField(null=True)
    ended_at = models.DateTimeField(null=True)

    class Meta:
        ordering = ["session", "number"]
        constraints = [models.UniqueConstraint(fields=["session", "number"], name="game_number_once")]


class Draw(PublicId):
    """A frozen problem with its answer: heats, marks, teams, spells. Never changed: a change is a new row.

    round: 1, and more where a game has them. The newest version of a round is the one that counts.
    why: made, next, late, out.
    """

    game = models.ForeignKey(Game, on_delete=models.CASCADE, related_name="draws")
    round = models.PositiveSmallIntegerField()
    version = models.PositiveSmallIntegerField()
    problem = models.JSONField(default=dict)
    answer = models.JSONField(default=dict)
    proof = models.JSONField(default=dict)
    seed = models.PositiveIntegerField(default=0)
    engine = models.CharField(max_length=20)
    why = models.CharField(max_length=8)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)

    class Meta:
        ordering = ["version"]
        constraints = [models.UniqueConstraint(fields=["game", "version"], name="draw_version_once")]


class Entry(PublicId, FieldWrite):
    """What an adult entered on the field: begun, a heat's finish, a score. Only ever added; the last one counts.

    what: a word of the game's kind; part: the heat, team or fixture it is about, from 1, or 0. data: ids, never names.
    """

    game = models.ForeignKey(Game, on_delete=models.CASCADE, related_name="entries")
    round = models.PositiveSmallIntegerField(default=1)
    part = models.PositiveSmallIntegerField(default=0)
    what = models.CharField(max_length=12)
    data = models.JSONField(default=dict, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")

    class Meta:
        indexes = [models.Index(fields=["game", "tapped_at"])]


class Term(PublicId):
    """A squad's teams for a while. A squad without a row has no term points: they are off until somebody begins a term.

    teams: ids, team by team; a bib's colour each, in order.
    """

    squad = models.OneToOneField(Squad, on_delete=models.CASCADE, related_name="term")
    begins = models.DateField()
    ends = models.DateField()
    teams = models.JSONField(default=list)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, null=True, on_delete=models.SET_NULL, related_name="+")
    made_at = models.DateTimeField(auto_now_add=True)
