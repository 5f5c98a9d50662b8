"""What the cue caller's page needs to know: words to call, and every sentence of its script."""

from __future__ import annotations

from typing import Any

from django.utils.translation import gettext as _

from clubapp.engine.cues import LEAST_TAU_MS, MOST_CATCH_PERCENT, MOST_CUES, WORDS

MOST_OWN = 8
LONGEST_OWN = 16


def for_phone() -> dict[str, Any]:
    """sets: words by name, each [what the screen knows it by, what is shown and said]."""
    said = _words()
    return {
        "sets": {name: [[word, said.get(word, word)] for word in words] for name, words in WORDS.items()},
        "limits": {
            "cues": MOST_CUES,
            "tau_ms": LEAST_TAU_MS,
            "catch": MOST_CATCH_PERCENT,
            "own": MOST_OWN,
            "length": LONGEST_OWN,
        },
        "words": {
            "ready": _("Ready"),
            "over": _("Done. Cues called: %s. With order number %s these choices call the same again."),
            "stopped": _("Stopped. Cues called: %s. With order number %s these choices call the same again."),
            "away": _("Stopped: the page was put away. A phone in the pocket cannot call."),
            "bell": _("Stopped: the bell went on. Children have to hear that first."),
            "alarm": _("Stopped: an alarm rings."),
            "no_words": _("Write at least one word to call."),
            "spoken": _("Each cue is spoken."),
            "silent": _("Nothing is spoken now: hold the screen up. “Sound” says why."),
        },
    }


def _words() -> dict[str, str]:
    return {
        "red": _("red"),
        "blue": _("blue"),
        "yellow": _("yellow"),
        "white": _("white"),
        "left": _("left"),
        "right": _("right"),
        "forward": _("forward"),
        "back": _("back"),
    }
