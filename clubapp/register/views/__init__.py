"""The register's pages."""

from __future__ import annotations

from clubapp.register.views.asking import asked, no_word, told
from clubapp.register.views.calling import emergency
from clubapp.register.views.evening import adult, finish, new_child, ratio
from clubapp.register.views.history import ask_after, child, log, term
from clubapp.register.views.leaving import going_home, pick_up
from clubapp.register.views.marks import brought, health, mark, news, other, register, rest_not_here, undo
from clubapp.register.views.safety import safety

__all__ = [
    "adult",
    "ask_after",
    "asked",
    "brought",
    "child",
    "emergency",
    "finish",
    "going_home",
    "health",
    "log",
    "mark",
    "new_child",
    "news",
    "no_word",
    "other",
    "pick_up",
    "ratio",
    "register",
    "rest_not_here",
    "safety",
    "term",
    "told",
    "undo",
]
