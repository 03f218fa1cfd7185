"""Runs a piece of Python in a process of its own, with bounded memory, and tells what it took."""

from __future__ import annotations

import json
import subprocess
import sys
from dataclasses import dataclass
from typing import Any

# The peak that getrusage tells begins at that of the process which forked this one; the kernel's own status does not.
_AROUND = """
import json, re, resource, sys, time
from pathlib import Path
def peak_kb():
    return int(re.search(r"VmHWM:\\s+(\\d+)", Path("/proc/self/status").read_text())[1])
resource.setrlimit(resource.RLIMIT_AS, ({room}, {room}))
{imports}
before, began = peak_kb(), time.process_time()
try:
    found = {call}
except (ValueError, OSError) as error:
    found = f"{{type(error).__name__}}: {{error}}"
took = time.process_time() - began
peak = peak_kb() - before
print(json.dumps([found, took, peak * 1024]))
"""


@dataclass(frozen=True)
class Took:
    """What a call gave, its processor time, and by how many bytes the peak of memory rose."""

    gave: Any
    seconds: float
    memory: int


def run(imports: str, call: str, *arguments: str, room: int = 4_000_000_000, patience: float = 120) -> Took:
    """Run a call, whose value JSON can have, with `arguments` in `sys.argv[1:]`; `peak_kb()` is the peak so far."""
    code = _AROUND.format(imports=imports, call=call, room=room)
    ended = subprocess.run(
        [sys.executable, "-c", code, *arguments], capture_output=True, text=True, timeout=patience, check=False
    )
    assert ended.returncode == 0, ended.stderr[-2_000:]
    return Took(*json.loads(ended.stdout.splitlines()[-1]))
