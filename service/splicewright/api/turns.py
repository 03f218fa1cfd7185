"""The threads of the server take turns: one looks at the connections and answers what has come, the others rest.

Python runs one thread at a time, so to hand each request to another costs as much as it takes to read and write it. A
thread that has answered for a moment is relieved: another one looks at the connections meanwhile. So a long call, or a
client that takes its answer slowly, does not hold up short calls, and short ones wake nobody.
"""

from __future__ import annotations

import logging
import threading
import time
from collections import deque
from collections.abc import Callable
from typing import Any, Protocol, cast

from waitress.task import ThreadedTaskDispatcher

#: Seconds for which a thread may answer before another one looks at the connections.
TURN_S = 0.01
_SOON_S = 0.005  # while requests wait for a thread
_log = logging.getLogger(__name__)


class Task(Protocol):
    """What is to be done."""

    @property
    def urgent(self) -> bool:
        """Whether it is to be done at once, however much there is to do."""

    def service(self) -> None:
        """Do it."""


class Turns:
    """Threads of which one leads. At most `count` answer at once; one more looks at the connections in any case."""

    def __init__(self, count: int, look: Callable[[float | None], None]) -> None:
        """`look` looks at the connections once, for so many seconds at most, and adds tasks; None: as long as it likes.

        It is called in one thread at a time.
        """
        self._count, self._look = count, look
        self._queue: deque[Task] = deque()
        self._change = threading.Condition()
        self._leader: object | None = None
        self._since: float | None = None  # when the one that leads began to answer
        self._relieved = 0  # threads that answer and do not lead any more
        self._answering = threading.Event()  # something was answered since it was last looked
        self._stopped = False
        self._aside = ThreadedTaskDispatcher()
        self._threads = [threading.Thread(target=self._run, name=f"turn-{at}", daemon=True) for at in range(count + 1)]

    def start(self) -> None:
        """Begin."""
        self._aside.set_thread_count(1)
        for thread in self._threads:
            thread.start()

    def add_task(self, task: Task) -> None:
        """Queue a task: an urgent one for a thread of its own, others for who leads, who may have to be woken."""
        if task.urgent:
            self._aside.add_task(cast("Any", task))
            return
        self._queue.append(task)

    def watch(self, seconds: float) -> None:
        """Wait for so long at most, and relieve the one that leads where it has answered for a moment.

        It is to be called over and over, in a thread that does nothing else.
        """
        if not self._answering.wait(seconds):
            return
        time.sleep(TURN_S)
        self._answering.clear()
        with self._change:
            if self._since is None:
                return
            self._answering.set()
            if time.monotonic() - self._since >= TURN_S:
                self._since = self._leader = None
                self._relieved += 1
                self._change.notify()

    def stop(self, seconds: float) -> None:
        """End all threads that rest or lead, and wait so long for those that answer."""
        with self._change:
            self._stopped = True
            self._change.notify_all()
        self._aside.shutdown(timeout=1)
        deadline = time.monotonic() + seconds
        for thread in self._threads:
            thread.join(max(0.0, deadline - time.monotonic()))

    def shutdown(self, **_: object) -> None:
        """Do as the library asks for where it closes a server: nothing, since its owner stops us."""

    def _run(self) -> None:
        me = object()
        while self._leads(me):
            try:
                self._look(self._patience())
            except Exception:  # noqa: BLE001 - whatever it is, the next look is a new one
                _log.exception("the connections could not be looked at")
                time.sleep(_SOON_S)
            for _ in range(len(self._queue)):  # what is added meanwhile waits until the connections were looked at
                if not self._answers(me):
                    break

    def _leads(self, me: object) -> bool:
        """Wait until a thread leads. False where it is to end."""
        with self._change:
            while not self._stopped and self._leader not in (None, me):
                self._change.wait()
            self._leader = me
            return not self._stopped

    def _patience(self) -> float | None:
        if not self._queue:
            return None
        return 0.0 if self._relieved < self._count else _SOON_S

    def _answers(self, me: object) -> bool:
        """Answer what is first in the queue; tell whether the thread leads and may go on."""
        with self._change:
            if self._relieved >= self._count:
                return False
            task = self._queue.popleft()
            self._since = time.monotonic()
        if not self._answering.is_set():
            self._answering.set()
        try:
            task.service()
        except Exception:  # noqa: BLE001 - whatever it is, the thread goes on
            _log.exception("a request could not be answered")
        with self._change:
            if self._leader is not me:
                self._relieved -= 1
                return False
            self._since = None
            return True
