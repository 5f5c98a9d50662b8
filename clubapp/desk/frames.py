"""The server's socket with one way more: a frame that was made once is written as it is.

The ordinary way makes the same frame anew for every phone, which at a thousand phones is most of the work.
"""

from __future__ import annotations

from uvicorn.protocols.websockets.websockets_sansio_impl import WebSocketsSansIOProtocol
from websockets.http11 import Request

from clubapp.live.wire import FRAMES


class FrameSocket(WebSocketsSansIOProtocol):
    """Offers `take` to the application as an extension of ASGI."""

    def handle_connect(self, event: Request) -> None:
        super().handle_connect(event)
        if self.response.status_code == 101:  # the application starts in the loop's next turn
            self.scope["extensions"][FRAMES] = {"take": self.take}

    def take(self, frame: bytes) -> bool:
        """Write a whole frame; False where the phone has not taken what was written before, or is gone."""
        if not self.writable.is_set() or self.disconnected or self.close_sent or self.transport.is_closing():
            return False
        self.transport.write(frame)
        return True
