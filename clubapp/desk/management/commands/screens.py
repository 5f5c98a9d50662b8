"""`manage.py screens`: pictures of every page in every state into the data folder, and what is wrong on them."""

from __future__ import annotations

import asyncio
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management.base import BaseCommand, CommandError

from clubapp.desk.chromium import find_chromium
from clubapp.desk.screens.looks import LOOKS
from clubapp.desk.screens.scenes import SCENES
from clubapp.desk.screens.shoot import shoot


class Command(BaseCommand):
    help = (
        "Takes pictures of every page in every state, of the invented club, and says what is too small, wide or faint."
    )
    requires_migrations_checks = False

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--look", action="append", choices=tuple(LOOKS), help="this look alone; may be repeated")
        parser.add_argument("--scene", default="", help="scenes whose name begins so")
        parser.add_argument("--folder", type=Path, help="default: screens/ in the data folder")

    def handle(self, *args: Any, **options: Any) -> None:
        chromium = find_chromium()
        if chromium is None:
            raise CommandError("Pictures need Chromium (Debian: apt install chromium).")
        scenes = [scene for scene in SCENES if scene.name.startswith(options["scene"])]
        if not scenes:
            raise CommandError("No scene begins so. There are: " + ", ".join(scene.name for scene in SCENES))
        looks = tuple(LOOKS[name] for name in options["look"] or LOOKS)
        folder = options["folder"] or Path(settings.DATA_DIR) / "screens"
        found = asyncio.run(shoot(chromium, scenes, looks, folder))
        for seen in found:
            for what in seen.wrong:
                self.stdout.write(f"{seen.scene.name} {seen.look.name}: {what}")
        self.stdout.write(
            f"{len(found)} pictures in {folder}; {sum(bool(seen.wrong) for seen in found)} with a remark."
        )
