"""What every topic gives back."""

from __future__ import annotations

from dataclasses import FrozenInstanceError

import pytest

from clubapp.engine.outcome import Outcome, Reason, Status


def test_an_outcome_does_not_change_after_it_was_given() -> None:
    outcome = Outcome("groups", Status.GOOD, 0.3, 0.1, 0.5, (Reason("apart", "Ada and Ben are to be kept apart."),))
    with pytest.raises(FrozenInstanceError):
        outcome.score = 0.0  # type: ignore[misc]
    assert outcome.reasons[0].about == ()


def test_a_status_is_its_own_name_in_a_file() -> None:
    assert [str(status) for status in Status] == ["BEST", "GOOD", "SIMPLE", "IMPOSSIBLE"]
