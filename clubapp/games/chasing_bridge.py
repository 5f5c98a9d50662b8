"""Stored chasing games ⇄ the engine's dataclasses."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from clubapp.engine import chase as engine_chase
from clubapp.games import bridge


def problem_of(stored: Mapping[str, Any], children: Iterable[str]) -> engine_chase.Problem:
    return engine_chase.Problem(
        children=tuple(child_of(stored, child) for child in children),
        kind=engine_chase.Kind(stored["kind"]),
        chasers=stored["chasers"],
        seconds=stored["seconds"],
        spell_s=stored["spell_s"],
        rest_s=stored["rest_s"],
        gap_years=stored["gap_years"],
        back_s=stored["back_s"],
        chased=stored["chased"],
    )


def child_of(stored: Mapping[str, Any], child: str) -> engine_chase.Child:
    easy = child in stored["easy"]
    return engine_chase.Child(bridge.runner(stored, child), stored["years"].get(child), easy)


def answer_of(stored: Mapping[str, Any]) -> engine_chase.Answer:
    fields = tuple(
        engine_chase.Field(tuple(field["ids"]), tuple(tuple(spell) for spell in field["spells"]))
        for field in stored["fields"]
    )
    return engine_chase.Answer(fields, stored["back_s"])


def stored_answer(answer: engine_chase.Answer) -> dict[str, Any]:
    fields = [{"ids": list(field.ids), "spells": [list(spell) for spell in field.spells]} for field in answer.fields]
    return {"fields": fields, "back_s": answer.back_s}
