"""How the processes of one service follow their master: what it proved is told in a file, and each takes it into use.

The file is replaced as a whole, so what is read is never half written. A process that starts while something is renewed
reads it like any other.
"""

from __future__ import annotations

import logging
import os
import signal
import sys
import threading
import time
from collections.abc import Mapping
from dataclasses import asdict, dataclass, replace
from pathlib import Path

import orjson

from splicewright.answering import Chooser
from splicewright.answering.chooser import settle
from splicewright.api.keys import Keys
from splicewright.api.reload import NotRenewed, digests_in_use
from splicewright.operate.reloading import copied_project
from splicewright.operate.rule_check import digests

_LOOK_S = 0.1
_LONGEST_WAIT_S = 30.0  # before what failed is tried again; twice as long each time, up to this
_ROOM, _BRIEF = 4_096, 1_000  # bytes that what is told takes at least, and of a reason where there is no room for more
PATIENCE_S = 320  # for a renewal that was asked for, longer than a proof may take
OTHERS_S = 20  # for the other processes to follow
_log = logging.getLogger(__name__)


@dataclass(frozen=True)
class RenewalReport:
    """What the master tells: how many renewals it has begun and ended, and what the last one gave."""

    begun: int = 0
    ended: int = 0
    rules: str = ""  # the copy to answer from
    digests: tuple[str, ...] = ()  # what was proved of it; none where it is as it was shipped
    reasons: tuple[str, ...] = ()  # why the last renewal did not renew all

    def write(self, folder: Path) -> None:
        """Tell it: where the disk has room for no further file, in that which is there. Raises `OSError`."""
        fresh = folder / "told.new"
        try:
            fresh.write_bytes(orjson.dumps(asdict(self)).ljust(_ROOM))
            fresh.replace(folder / "told")
        except OSError:
            fresh.unlink(missing_ok=True)
            brief = replace(self, reasons=tuple(one[:_BRIEF] for one in self.reasons[:1]))
            with (folder / "told").open("r+b", buffering=0) as stream:
                stream.write(orjson.dumps(asdict(brief)).ljust(_ROOM))
                stream.truncate(_ROOM)


def read_told(folder: Path) -> RenewalReport:
    """Read what the master tells last. Raises `OSError`."""
    while True:
        try:
            found = orjson.loads((folder / "told").read_bytes())
            break
        except orjson.JSONDecodeError:  # it is just being written
            time.sleep(_LOOK_S / 10)
    lists = tuple(found["digests"]), tuple(found["reasons"])
    return RenewalReport(found["begun"], found["ended"], found["rules"], *lists)


class Follower:
    """One process that answers from what its master proved."""

    def __init__(self, folder: Path, master: int, cache_bytes: int) -> None:
        """Take into use what the master tells in `folder`. `master` is its process id."""
        self._folder, self._master = folder, master
        self._asked = threading.Lock()  # a call waits for the master
        self._mark = folder / "followers" / str(os.getpid())
        self._unread = False  # the last look could not read what is told
        self._failed = 0  # the renewal that could not be taken into use at the last look
        self._wait_s = self._again = 0.0  # how long it waits to be tried again, and until when; of a monotonic clock
        self._follows(0)
        self._taken = read_told(folder)
        self.chooser = _proven(self._taken, cache_bytes)
        settle()
        keys = folder / "keys"
        self.keys = Keys(keys) if keys.exists() else None
        self._follows(self._taken.ended)

    def start(self) -> None:
        """Follow from now on, in a thread."""
        threading.Thread(target=self._follow, name="follower", daemon=True).start()

    def renew(self) -> Mapping[str, object]:
        """Have the master renew what all processes answer from, and wait until they do. Raises `NotRenewed`.

        One call at a time waits, so that those who ask again and again take no thread from others.
        """
        if not self._asked.acquire(blocking=False):
            raise NotRenewed(["a reload that was asked for by another call is under way; ask again when it has ended"])
        try:
            return self._renewed()
        finally:
            self._asked.release()

    def _renewed(self) -> Mapping[str, object]:
        number = read_told(self._folder).begun + 1
        os.kill(self._master, signal.SIGHUP)
        deadline = time.monotonic() + PATIENCE_S
        while (told := read_told(self._folder)).ended < number:
            if time.monotonic() > deadline:
                raise NotRenewed([f"the master process has not renewed anything within {PATIENCE_S} s"])
            time.sleep(_LOOK_S)
        deadline = time.monotonic() + OTHERS_S
        while (behind := self._behind(number)) and time.monotonic() < deadline:
            time.sleep(_LOOK_S)
        if told.reasons:
            raise NotRenewed(told.reasons)
        if behind:
            others = f"{behind} processes do" if behind > 1 else "1 process does"
            raise NotRenewed([f"what is on disk is in use, but {others} not answer from it yet; see the log"])
        return {"status": "reloaded", **digests_in_use(self.chooser)}

    def take(self, told: RenewalReport) -> None:
        """Take into use what the master tells."""
        if self.keys is not None:
            self.keys.reload()
        if told.rules != self._taken.rules:
            self.chooser.use(_proven(told, 0).holding)
            settle()
            _log.info("process %d answers from the rules that were reloaded", os.getpid())
        self._taken = told
        self._follows(told.ended)

    def look(self) -> bool:
        """Take into use what is new, if anything is; tell whether there is a master to follow."""
        try:
            told = read_told(self._folder)
        except FileNotFoundError:
            return False
        except OSError as error:
            if not self._unread:
                _log.warning("can't read what the master tells; it is tried on: %s", error)
            self._unread = True
            return True
        self._unread = False
        again = told.ended == self._failed
        if told.ended == self._taken.ended or (again and time.monotonic() < self._again):
            return True
        try:
            self.take(told)
        except Exception:  # noqa: BLE001 - whatever it is, the process goes on answering
            if not again:
                _log.exception("can't follow the master; what is in use stays, and it is tried again")
            self._wait_s = min(2 * self._wait_s, _LONGEST_WAIT_S) if again else 2 * _LOOK_S
            self._failed, self._again = told.ended, time.monotonic() + self._wait_s
        return True

    def _behind(self, number: int) -> int:
        return sum(_number(one) < number for one in (self._folder / "followers").iterdir())

    def _follows(self, number: int) -> None:
        try:
            self._mark.write_text(f"{number:12}")  # of one length, so that it has its place on a full disk
        except OSError as error:
            _log.warning("can't tell the master what is followed: %s", error)

    def _follow(self) -> None:
        while self.look():
            time.sleep(_LOOK_S)


def _proven(told: RenewalReport, cache_bytes: int) -> Chooser:
    folder = Path(told.rules)
    chooser = Chooser(folder, project=copied_project(folder), cache_bytes=cache_bytes)
    if (found := digests(chooser)) != told.digests and told.digests:
        raise ValueError(f"{told.rules} is not what was proved: {' '.join(found)}")
    return chooser


def _number(mark: Path) -> int:
    try:
        return int(mark.read_text() or 0)
    except FileNotFoundError:  # the process has ended
        return sys.maxsize
