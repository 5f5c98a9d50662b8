"""From a page to a PDF, in a process of its own: laying pages out would make the bell wait for the interpreter.

What draws it is an extra, and needs Pango from the system. Nothing is fetched: the page carries its styles.
"""

from __future__ import annotations

import importlib.util
import logging
import subprocess
import sys
import threading
from pathlib import Path
from typing import NoReturn

LONGEST_S = 60
ROOT = Path(__file__).parents[3]
log = logging.getLogger(__name__)
one_at_a_time = threading.Lock()


class PressError(Exception):
    """No PDF came: Pango is missing on this machine, or it took too long."""


def is_installed() -> bool:
    return importlib.util.find_spec("weasyprint") is not None


def pdf_of(html: str) -> bytes:
    """The page goes there and back by pipes: a child's name never stands in a file or a command line.

    Raises:
        PressError: none was made.
    """
    words = [sys.executable, "-m", __name__]
    try:
        with one_at_a_time:
            made = subprocess.run(
                words, input=html.encode(), capture_output=True, timeout=LONGEST_S, check=True, cwd=ROOT
            )
    except (OSError, subprocess.SubprocessError) as error:
        log.error("no PDF was made: %s", type(error).__name__)
        raise PressError from error
    return made.stdout


def lay_out(html: str) -> bytes:
    """Here and now, for the process alone."""
    from weasyprint import HTML
    from weasyprint.urls import URLFetcher

    class NothingFromOutside(URLFetcher):  # type: ignore[misc]  # it brings no types
        def fetch(self, url: str, headers: object = None) -> NoReturn:
            raise ValueError("a sheet reaches for nothing")

    made: bytes = HTML(string=html, url_fetcher=NothingFromOutside()).write_pdf()
    return made


if __name__ == "__main__":
    logging.getLogger("weasyprint").setLevel(logging.CRITICAL)  # it names what of our style sheets it passes over
    sys.stdout.buffer.write(lay_out(sys.stdin.buffer.read().decode()))
