"""Batches over the machines of a cluster: blocks of lines go out as bytes and come back as bytes, in order.

A block whose worker is lost is answered again by another. Every worker must have the same rulesets as this process.
The cluster's own protocol runs what it is sent, so a scheduler and its workers belong on a network that is trusted.
"""

from __future__ import annotations

import logging
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from distributed import Client, KilledWorker, LocalCluster

from splicewright import shipped
from splicewright.answering.process_choosers import chooser_of
from splicewright.batch.lines import Block, BlockAnswer, answer_block
from splicewright.batch.pool import in_order
from splicewright.project.reading import Project

PATIENCE_S = 20


class ClusterFault(RuntimeError):
    """Why a cluster can't answer."""


def answer_on_cluster(
    found: Iterator[Block],
    *,
    explain: str,
    include: Sequence[str] = (),
    address: str | None,
    workers: int,
    project: Project | None = None,
) -> Iterator[BlockAnswer]:
    """Answer blocks in order on the cluster whose scheduler is at `address`; None: on `workers` processes here.

    `project` is sent to each worker once, with its catalogues.

    Raises `ClusterFault` where no scheduler or worker answers, one has other rulesets, or a block brings down workers,
    `Faults` where the project names what is not there.
    """
    expected = shipped.digest("rulesets")
    try:
        with _cluster(address, workers) as cluster, Client(cluster, timeout=PATIENCE_S) as client:
            client.wait_for_workers(1, timeout=PATIENCE_S)
            if project is not None:
                chooser_of(project).warm_up()  # what is wrong with it is told here
            sent = client.scatter(project, broadcast=True)
            threads = sum(client.nthreads().values())

            def submit(block: Block) -> _Promised:
                asked = (block.first, block.text, explain, tuple(include), expected, sent)
                future = client.submit(_answer_there, *asked, pure=False)
                return _Promised(future)

            yield from in_order(submit, found, threads)
    except TimeoutError:
        where = address or "of this machine"
        raise ClusterFault(f"no scheduler and worker of the cluster {where} answered in {PATIENCE_S} s") from None
    except KilledWorker as error:
        raise ClusterFault(f"a block of lines was given up after it lost its worker several times: {error}") from None
    except OSError as error:
        raise ClusterFault(f"the cluster {address or 'of this machine'} does not answer: {error}") from None


class _Address:
    """A scheduler that runs elsewhere and stays."""

    def __init__(self, address: str) -> None:
        self._address = address

    def __enter__(self) -> str:
        return self._address

    def __exit__(self, *_: object) -> None:
        pass


def _cluster(address: str | None, workers: int) -> _Address | LocalCluster:
    if address is not None:
        return _Address(address)
    logging.getLogger("distributed").setLevel(
        logging.ERROR
    )  # a worker that is lost is told by its scheduler, at length
    # One thread each: answers are made one at a time in a process.
    return LocalCluster(n_workers=workers, threads_per_worker=1, processes=True, dashboard_address=None)


class _Promised:
    def __init__(self, future: Any) -> None:
        self._future = future

    def result(self) -> BlockAnswer:
        return BlockAnswer(*self._future.result())


def _answer_there(
    first: int, text: bytes, explain: str, include: Sequence[str], expected: str, project: Project | None
) -> tuple[bytes, int, int, Mapping[str, int]]:
    found = shipped.digest("rulesets")
    if found != expected:
        raise ClusterFault(f"a worker has other rulesets ({found}) than this process ({expected}); install the same")
    answer = answer_block(chooser_of(project), Block(first, text), explain=explain, include=include)
    return answer.text, answer.lines, answer.asked, answer.outcomes
