"""A server that ends without dropping a request.

Told to stop, it first only says at /readyz that it is stopping, and goes on serving: a proxy
sees it and sends the next requests elsewhere. Then it closes its door, finishes what it is
answering, and ends. Without a proxy there is nobody to wait for, and the first part takes none.
"""

from time import monotonic
from types import FrameType
from typing import Final

from fastapi import FastAPI
from uvicorn import Config, Server

PATIENCE: Final = 30
"""Seconds that requests get to be finished, once no more are taken."""
MOST_AT_ONCE: Final = 300
"""Connections; more are answered that it is busy."""


class DrainingServer(Server):
    """A server that says it is stopping before it does."""

    def __init__(
        self, app: FastAPI, host: str, port: int, drain: float, *, proxy: str = ""
    ) -> None:
        """Take the application, where to listen, and the seconds from the sign to the end.

        Only a proxy that is named, by its IP addresses, is believed about who asks.
        """
        # Without a log of requests: the addresses of owners' links are secret.
        config = Config(
            app,
            host=host,
            port=port,
            log_level="warning",
            access_log=False,
            server_header=False,
            proxy_headers=bool(proxy),
            forwarded_allow_ips=proxy or "127.0.0.1",
            limit_concurrency=MOST_AT_ONCE,
            timeout_graceful_shutdown=PATIENCE,
        )
        super().__init__(config)
        self._app, self._drain = app, drain
        self._ends_at: float | None = None

    def handle_exit(self, sig: int, frame: FrameType | None) -> None:
        """Begin to stop; a second sign does so at once."""
        self._app.state.readiness.stopping = True
        if self._drain and self._ends_at is None:
            self._captured_signals.append(sig)
            self._ends_at = monotonic() + self._drain
        else:
            super().handle_exit(sig, frame)

    async def on_tick(self, counter: int) -> bool:
        """Return whether it is time to end; asked ten times in a second."""
        if self._ends_at is not None and monotonic() >= self._ends_at:
            self.should_exit = True
        return await super().on_tick(counter)
