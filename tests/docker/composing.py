"""The composition without containers: the shipped configuration of the proxy on a real proxy, before real replicas."""

from __future__ import annotations

import re
import shutil
import signal
import socket
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass
from pathlib import Path

from tests.api.serving import Server, started, workers

CONFIGURATION = Path(__file__).parents[2] / "docker" / "nginx.conf"
REPLICAS = ("one", "two")
_AS_IN_A_CONTAINER = "daemon off; user root;"  # whose folders are ours; where we are not root, it is not looked at


@dataclass
class Composition:
    """A proxy and its replicas."""

    port: int
    replicas: list[Server]

    def count(self, text: str) -> int:
        """Count the log lines of all replicas that hold a text."""
        return sum(replica.count(text) for replica in self.replicas)


def nginx() -> str:
    """Find the proxy's program. Raises AssertionError where it is not installed."""
    found = shutil.which("nginx", path="/usr/sbin:/usr/local/sbin:/usr/bin:/usr/local/bin")
    assert found, "nginx is not installed; in Debian: apt-get install nginx-light"
    return found


def configuration(folder: Path, port: int, replicas: list[int]) -> Path:
    """Write the shipped configuration, but for addresses and for places in the file system."""
    text = CONFIGURATION.read_text(encoding="utf-8")
    for old, new, times in (
        *((f"server {name}:8000", f"server 127.0.0.1:{at}", 2) for name, at in zip(REPLICAS, replicas, strict=True)),
        ("listen 8080;", f"listen 127.0.0.1:{port};", 1),
        (" /tmp/", f" {folder}/", 6),
        ("/dev/stdout", str(folder / "requests.log"), 1),
        ("error_log stderr warn;", "error_log stderr notice;", 1),
    ):
        assert text.count(old) == times, old
        text = text.replace(old, new)
    file = folder / "nginx.conf"
    file.write_text(text, encoding="utf-8")
    return file


@contextmanager
def composition(folder: Path, **environment: str) -> Iterator[Composition]:
    """Run it."""
    with ExitStack() as stack:
        with ThreadPoolExecutor() as starting:
            asked = [workers(SPLICEWRIGHT_PROXIES="1", **environment) for _ in REPLICAS]
            replicas = list(starting.map(stack.enter_context, asked))
        port = free_port()
        file = configuration(folder, port, [replica.port for replica in replicas])
        command = [nginx(), "-p", str(folder), "-c", str(file), "-g", _AS_IN_A_CONTAINER]
        proxy = stack.enter_context(started(command, r"(\d+)#\d+: using the \"epoll\"", {}))
        yield Composition(port, replicas)
        proxy.stop(signal.SIGQUIT)


def free_port() -> int:
    """Give a port that nothing listens on."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def processes(replica: Server) -> list[int]:
    """Give the ids of a replica's processes."""
    children = [found for line in replica.lines if (found := re.search(r"Booting worker with pid: (\d+)", line))]
    return [replica.process.pid, *(int(found[1]) for found in children)]
