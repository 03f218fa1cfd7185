"""Batches over a cluster's workers: the same bytes as in one process, also where a worker is lost on the way."""

from __future__ import annotations

import io
import os
import signal
from typing import Any

import pytest
from distributed import Client, LocalCluster

from splicewright import shipped
from splicewright.batch.cluster import ClusterFault, answer_on_cluster
from splicewright.batch.lines import blocks
from splicewright.batch.pool import answer_stream
from tests.batch.asking import job

TOLD: Any = {"explain": "brief", "include": ("rules",)}
pytestmark = pytest.mark.filterwarnings("ignore::ResourceWarning", "ignore::pytest.PytestUnraisableExceptionWarning")


@pytest.mark.slow
def test_answers_are_whole_in_order_and_the_same_when_a_worker_is_lost() -> None:
    text = job(8_000)
    alone = b"".join(block.text for block in answer_stream(io.BytesIO(text), **TOLD, workers=1))
    with (
        LocalCluster(n_workers=2, threads_per_worker=1, processes=True, dashboard_address=None) as cluster,
        Client(cluster) as client,
    ):
        processes = list(client.run(os.getpid).values())
        answers = answer_on_cluster(
            blocks(io.BytesIO(text), 20_000), **TOLD, address=cluster.scheduler_address, workers=1
        )
        found = [next(answers), next(answers)]
        os.kill(processes[0], signal.SIGKILL)
        found += answers
    assert b"".join(one.text for one in found) == alone
    assert sum(one.lines for one in found) == 8_000


def test_worker_with_other_rulesets_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(shipped, "digest", lambda _name: "sha256:other")
    with pytest.raises(ClusterFault, match="a worker has other rulesets"):
        list(answer_on_cluster(blocks(io.BytesIO(job(3))), explain="brief", address=None, workers=1))


def test_cluster_that_does_not_answer_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("splicewright.batch.cluster.PATIENCE_S", 1)
    with pytest.raises(ClusterFault, match=r"127\.0\.0\.1:9"):
        list(answer_on_cluster(blocks(io.BytesIO(job(3))), explain="brief", address="tcp://127.0.0.1:9", workers=1))
