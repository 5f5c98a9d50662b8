"""The other end of `aside`: `python -m clubapp.rotation.away` reads a pickled call and writes its pickled answer.

Imports what the call names and nothing else, so that it starts fast; only our own server speaks to it, over a pipe.
"""

from __future__ import annotations

import os
import pickle
import sys

POLITE = 5  # gives way to the server and its bell


def main() -> None:
    if hasattr(os, "nice"):
        os.nice(POLITE)
    work = pickle.load(sys.stdin.buffer)
    sys.stdout.buffer.write(pickle.dumps(work()))


if __name__ == "__main__":
    main()
