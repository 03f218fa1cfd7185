"""A process of several: gunicorn's master starts and ends it, and it answers by the same server as `serve` does."""

from __future__ import annotations

import os

from gunicorn.workers.base import Worker as Base

from splicewright.api.gunicorn_conf import settings


class Worker(Base):  # type: ignore[misc]
    """A process with threads."""

    def run(self) -> None:
        """Answer until told to stop, or until the master is gone; then finish what is under way."""
        # Only now: the metrics library looks at the environment when it is imported, and the master prepares that.
        from splicewright.api.server import Loop  # noqa: PLC0415

        loop = Loop(self.wsgi, settings, [one.sock for one in self.sockets])
        loop.run(lambda: not self.alive or self.ppid != os.getppid(), self.notify)
