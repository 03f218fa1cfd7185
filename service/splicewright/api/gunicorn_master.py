"""The service as several gunicorn processes: what their master has beside what every service has."""

from __future__ import annotations

import os
import shutil
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from splicewright.api import logs
from splicewright.api.limits import asks_for_extra, check_rate
from splicewright.api.renewals import Renewals
from splicewright.api.settings import Settings, exposed
from splicewright.api.settings_sources import configure
from splicewright.faults import Faults
from splicewright.operate.reloading import NotProven

FIGURES_VARIABLE = "PROMETHEUS_MULTIPROC_DIR"


class Unfit(SystemExit):
    """The service can't be started. Says why on standard error and exits with 1."""


class Master(Renewals):
    """What the master process keeps."""

    def __init__(self) -> None:
        """Take the settings from the environment, the file that it names, and the project. Raises `Unfit`."""
        try:
            configuration = configure()
        except Faults as error:
            raise Unfit(str(error)) from None
        super().__init__(configuration.settings, configuration.project)
        fault = asks_for_extra(self.settings)
        if fault:
            raise Unfit(fault)
        logs.configure(self.settings)

    def begin(self, listening: Sequence[object]) -> None:
        """Prove and copy rules and keys. `listening`: the addresses, as gunicorn has them. Raises `Unfit`."""
        for one in listening:  # those of its own command line are stronger than our settings
            fault = exposed(replace(self.settings, host=one[0])) if isinstance(one, tuple) else None
            if fault:
                raise Unfit(fault)
        try:
            check_rate(self.settings)
            self.start()
            figures = self.folder / "figures"
            figures.mkdir()
        except (Faults, NotProven, OSError) as error:
            self.stop()
            raise Unfit(str(error)) from None
        os.environ[FIGURES_VARIABLE] = str(figures)

    def forget(self, process: int) -> None:
        """Take the figures of a process that has ended out of what is shown as happening now."""
        from prometheus_client.multiprocess import mark_process_dead  # noqa: PLC0415 - only when one ends

        mark_process_dead(process)  # type: ignore[no-untyped-call]
        (self.folder / "followers" / str(process)).unlink(missing_ok=True)

    def left(self) -> None:
        """Remove what was kept, where the master itself was killed. Called in a process that ends."""
        if os.getppid() != self._process:
            shutil.rmtree(self.folder, ignore_errors=True)


def settings_of(master: Master) -> dict[str, Any]:
    """Give the settings of gunicorn that follow from ours."""
    settings: Settings = master.settings
    host = f"[{settings.host}]" if ":" in settings.host else settings.host
    shared = "/dev/shm"  # noqa: S108 - a memory file system, for the sign of life of each process
    return {
        "bind": f"{host}:{settings.port}",
        "workers": settings.workers,
        "graceful_timeout": settings.patience,
        "worker_tmp_dir": shared if os.access(shared, os.W_OK) else None,
    }
