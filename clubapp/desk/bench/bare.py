"""A websocket server that repeats to everybody what one says, and does nothing else; prints its port.

`python -m clubapp.desk.bench.bare`. The least that a fan-out can cost on this machine.
"""

from __future__ import annotations

import asyncio
import sys

from websockets.asyncio.server import ServerConnection, broadcast, serve

everybody: set[ServerConnection] = set()


async def repeat(link: ServerConnection) -> None:
    everybody.add(link)
    try:
        async for message in link:
            broadcast(everybody, message)
    finally:
        everybody.discard(link)


async def main() -> None:
    async with serve(repeat, "127.0.0.1", 0, compression=None) as server:
        sys.stdout.write(f"{server.sockets[0].getsockname()[1]}\n")
        sys.stdout.flush()
        await server.serve_forever()


if __name__ == "__main__":
    asyncio.run(main())
