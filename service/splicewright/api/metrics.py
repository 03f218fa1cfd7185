"""Figures for Prometheus: requests, times, answers, cache, rules in use. With several processes they are added up."""

from __future__ import annotations

import os
import threading
import time
from collections.abc import Iterator
from pathlib import Path

from prometheus_client import (
    CollectorRegistry,
    Counter,
    Gauge,
    Histogram,
    ProcessCollector,
    generate_latest,
)
from prometheus_client.core import GaugeMetricFamily
from prometheus_client.registry import Collector

from splicewright.answering import Chooser
from splicewright.api.metrics_files import SharedFigures, install

#: Where processes that share their figures write them; to be set before the library is imported.
FOLDER_VARIABLE = "PROMETHEUS_MULTIPROC_DIR"
CONTENT_TYPE = "text/plain; version=0.0.4; charset=utf-8"
_LOOK_S = 1.0
_BUCKETS = (0.001, 0.0025, 0.005, 0.01, 0.025, 0.05, 0.1, 0.25, 0.5, 1.0, 2.5, 5.0, 10.0, 30.0)


class Metrics:
    """The figures of one application. Safe to share between threads."""

    def __init__(self, chooser: Chooser) -> None:
        """Count from nothing."""
        if FOLDER_VARIABLE in os.environ:
            install()
        self._chooser = chooser
        self._registry = CollectorRegistry()
        self._requests = Counter(
            "splicewright_requests", "Requests.", ("method", "path", "status"), registry=self._registry
        )
        self._seconds = Histogram(
            "splicewright_request_seconds",
            "Seconds from a request's first view to the end of its answer.",
            ("path",),
            buckets=_BUCKETS,
            registry=self._registry,
        )
        self._answers = Counter("splicewright_answers", "Answers, by outcome.", ("outcome",), registry=self._registry)
        self._lookups = Counter(
            "splicewright_cache_lookups",
            "Questions looked up among the answers kept.",
            ("result",),
            registry=self._registry,
        )
        self.in_flight = Gauge(
            "splicewright_requests_in_flight",
            "Requests under way.",
            registry=self._registry,
            multiprocess_mode="livesum",
        )
        # The library's own figures of a process are not kept for several; a gauge that each sets is, by its id.
        self._memory = Gauge(
            "splicewright_process_resident_memory_bytes",
            "Resident memory of each process that answers, as of its last request.",
            registry=self._registry,
            multiprocess_mode="liveall",
        )
        self._process = CollectorRegistry()
        ProcessCollector(registry=self._process)
        self._next_look = 0.0
        self._look()
        self._hits, self._misses = self._lookups.labels("hit"), self._lookups.labels("miss")
        self._by_request: dict[tuple[str, str, int], tuple[Counter, Histogram]] = {}
        self._lock = threading.Lock()
        self._seen = (chooser.cache, 0, 0)
        self._outcomes = chooser.outcomes.counts()

    def request(self, method: str, path: str, status: int, seconds: float) -> None:
        """Count a request that has ended."""
        found = self._by_request.get((method, path, status))
        if found is None:
            found = (self._requests.labels(method, path, status), self._seconds.labels(path))
            self._by_request[method, path, status] = found
        found[0].inc()
        found[1].observe(seconds)
        self._cache()
        self._answers_given()
        self._look()

    def _look(self) -> None:
        """Take note of this process's memory, at most once a second. Nothing where the system does not tell it."""
        now = time.monotonic()
        if now < self._next_look:
            return
        self._next_look = now + _LOOK_S
        resident = self._process.get_sample_value("process_resident_memory_bytes")
        if resident is not None:
            self._memory.set(resident)

    def _answers_given(self) -> None:
        """Count the answers given since it was last looked."""
        with self._lock:
            before, self._outcomes = self._outcomes, self._chooser.outcomes.counts()
            more = [(outcome, now - before.get(outcome, 0)) for outcome, now in self._outcomes.items()]
        for outcome, count in more:
            if count:
                self._answers.labels(outcome).inc(count)

    def _cache(self) -> None:
        cache = self._chooser.cache
        hits, misses = cache.hits_by_bytes + cache.hits_by_question, cache.misses
        with self._lock:
            before, old_hits, old_misses = self._seen
            if before is not cache:
                old_hits = old_misses = 0
            more_hits, more_misses = hits - old_hits, misses - old_misses
            if more_hits < 0 or more_misses < 0:
                return  # another thread has counted further already
            self._seen = (cache, hits, misses)
        if more_hits:
            self._hits.inc(more_hits)
        if more_misses:
            self._misses.inc(more_misses)

    def written(self) -> bytes:
        """Write the figures in the text format, those of all processes where there are several."""
        self._answers_given()
        self._look()
        own = CollectorRegistry()
        own.register(_InUse(self._chooser))
        if FOLDER_VARIABLE in os.environ and Path(os.environ[FOLDER_VARIABLE]).is_dir():
            every = CollectorRegistry()
            SharedFigures(every)  # type: ignore[no-untyped-call]
            return generate_latest(every) + generate_latest(own)
        return generate_latest(self._registry) + generate_latest(self._process) + generate_latest(own)


class _InUse(Collector):
    """Which rules and catalogues this process answers from."""

    def __init__(self, chooser: Chooser) -> None:
        self._chooser = chooser

    def collect(self) -> Iterator[GaugeMetricFamily]:
        """Give one figure, always 1, for each."""
        rules = GaugeMetricFamily("splicewright_rules_info", "Rules in use.", labels=("code", "digest"))
        catalogues = GaugeMetricFamily("splicewright_catalogue_info", "Catalogues in use.", labels=("name", "digest"))
        for code, digest in self._chooser.holding.rules_read().items():
            rules.add_metric((code, digest), 1)
        for name, digest in self._chooser.holding.catalogues_read().items():
            catalogues.add_metric((name, digest), 1)
        yield rules
        yield catalogues
