"""What a service answers from is renewed here, one renewal at a time: proved, copied, told to all who answer.

Rules are proved before they are used, and who answers reads only copies of what was proved (`worker_sync.py`), in one
process or in many. So a rule file that is broken on disk can neither stop the service nor get into use, whenever a
process is started anew. No process is replaced for new rules: each takes them into use while it answers.
"""

from __future__ import annotations

import logging
import os
import shutil
import tempfile
import threading
from dataclasses import replace
from pathlib import Path

from flask import Flask

from splicewright import shipped
from splicewright.api.keys import read_keys
from splicewright.api.settings import Settings
from splicewright.api.worker_sync import Follower, RenewalReport
from splicewright.faults import Fault, Faults
from splicewright.operate.reloading import NotProven, prove_copy
from splicewright.project.reading import Project, read_project

_COPIES = 4  # the one in use, and those that processes may still be starting from
_log = logging.getLogger(__name__)


class Renewals:
    """What one process keeps for itself and for those that it starts."""

    folder: Path  # what is read by who answers: copies of rules and keys, what is told of them
    _process: int

    def __init__(self, settings: Settings, project: Project | None = None) -> None:
        """Renew what these name."""
        self.settings, self._project = settings, project
        self._source = settings.folder or shipped.folder("rulesets")
        self._copies: list[Path] = []
        self._digests: tuple[str, ...] = ()
        self._told = RenewalReport()
        self._lock = threading.Lock()
        self._wanted = False  # no Event: its lock, held by a signal handler, would stop the one that interrupts it
        self._ending = False

    def start(self) -> None:
        """Prove and copy rules and keys. Raises `Faults`, `NotProven`, `OSError`, and keeps nothing then."""
        self._process = os.getpid()
        self.folder = Path(tempfile.mkdtemp(prefix="splicewright-"))
        try:
            (self.folder / "followers").mkdir()
            self._copy_keys()
            # What is shipped was proved before it was.
            self._copy_rules(prove=self.settings.folder is not None)
            self._tell(RenewalReport(rules=str(self._copies[-1]), digests=self._digests))
        except (Faults, NotProven, OSError):
            self.stop()
            raise

    def application(self) -> Flask:
        """Make the application of one process, with every rule compiled, which follows from now on."""
        from splicewright.api.app import create_app  # noqa: PLC0415 - the metrics library looks at the environment

        follower = Follower(self.folder, self._process, self.settings.cache)
        app = create_app(follower.chooser, self.settings, asked=follower.keys, renew=follower.renew)
        follower.start()
        return app

    def stop(self) -> None:
        """Remove what was kept."""
        self._ending = True
        if os.getpid() == getattr(self, "_process", None) and hasattr(self, "folder"):
            shutil.rmtree(self.folder, ignore_errors=True)

    def soon(self) -> None:
        """Renew in a thread of its own and tell the log. What is asked for while one waits is asked for once.

        It may be called by the handler of a signal, also of one that comes while another is handled.
        """
        if not self._wanted:
            self._wanted = True
            threading.Thread(target=self.renew, daemon=True).start()

    def renew(self) -> None:
        """Prove and copy rules and keys anew, tell the processes, and tell the log; what fails stays as it was."""
        with self._lock:
            self._wanted = False
            self._tell(replace(self._told, begun=self._told.begun + 1))
            reasons: list[str] = []
            try:
                self._copy_keys()
            except Faults as error:
                reasons += map(str, error.faults)
            except OSError as error:
                reasons.append(f"no copy of the keys: {error}")
            try:
                self._copy_rules(prove=True)
            except NotProven as error:
                reasons += error.reasons
            except OSError as error:
                reasons.append(f"no copy of the rules: {error}")
            if self._ending:
                return
            if reasons:
                _log.warning("not reloaded, what is in use stays: %s", "; ".join(reasons))
            else:
                _log.info("rules and catalogues reloaded: %s", " ".join(self._digests))
            begun = self._told.begun
            self._tell(RenewalReport(begun, begun, str(self._copies[-1]), self._digests, tuple(reasons)))

    def _tell(self, told: RenewalReport) -> None:
        self._told = told
        told.write(self.folder)

    def _copy_keys(self) -> None:
        if self.settings.keys is None:
            return
        path, fresh = Path(self.settings.keys), self.folder / "keys.new"
        try:
            content = path.read_bytes()
        except OSError as error:
            raise Faults([Fault(str(path), 0, "", str(error.strerror))]) from None
        fresh.write_bytes(content)
        read_keys(fresh, path)
        fresh.replace(self.folder / "keys")

    def _copy_rules(self, *, prove: bool) -> None:
        copy = Path(tempfile.mkdtemp(prefix="rules-", dir=self.folder))
        before, project = self._project, self._project
        try:
            if project is not None and self._copies:
                project = read_project(project.file)
            found = prove_copy(self._source, copy, project, trusted=not prove)
        except (NotProven, Faults, OSError) as error:
            shutil.rmtree(copy, ignore_errors=True)
            raise NotProven(str(error).splitlines()) from None
        self._project = project
        if found and found == self._digests and project == before:  # processes keep their answers
            shutil.rmtree(copy, ignore_errors=True)
            return
        self._digests = found
        self._copies.append(copy)
        while len(self._copies) > _COPIES:
            shutil.rmtree(self._copies.pop(0), ignore_errors=True)
