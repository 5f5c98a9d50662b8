"""A relay between browser and server that counts every byte on its way, headers, sockets and workers included."""

from __future__ import annotations

import socket
import threading
from contextlib import suppress
from typing import Self


class Wire:
    """Listens on a port of its own and passes everything on; `received` is what came from the server."""

    def __init__(self, port: int) -> None:
        self.port_behind = port
        self.received = 0
        self.door = socket.create_server(("127.0.0.1", 0))
        self.lock = threading.Lock()
        self.links: list[socket.socket] = []
        self.listener = threading.Thread(target=self._listen, daemon=True)

    def __enter__(self) -> Self:
        self.listener.start()
        return self

    def __exit__(self, *_: object) -> None:
        """Who comes at this moment is waited for, or its link would stay open."""
        with suppress(OSError):
            self.door.shutdown(socket.SHUT_RDWR)  # only that wakes the one who listens
        self.listener.join()
        self.door.close()
        for link in self.links:
            link.close()

    @property
    def home(self) -> str:
        return f"http://127.0.0.1:{self.door.getsockname()[1]}"

    def _listen(self) -> None:
        with suppress(OSError):
            while True:
                near, _address = self.door.accept()
                far = socket.create_connection(("127.0.0.1", self.port_behind))
                self.links += [near, far]
                threading.Thread(target=self._pass, args=(near, far, False), daemon=True).start()
                threading.Thread(target=self._pass, args=(far, near, True), daemon=True).start()

    def _pass(self, start: socket.socket, end: socket.socket, counts: bool) -> None:
        with suppress(OSError):
            while data := start.recv(65536):
                if counts:
                    with self.lock:
                        self.received += len(data)
                end.sendall(data)
        for link in (start, end):
            with suppress(OSError):
                link.shutdown(socket.SHUT_RDWR)
