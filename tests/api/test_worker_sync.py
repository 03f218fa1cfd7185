"""A process that follows its master: it answers from what was proved, and tells when it does."""

from __future__ import annotations

import errno
import hashlib
import os
import time
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path
from types import SimpleNamespace

import pytest

from splicewright.api import worker_sync
from splicewright.api.reload import NotRenewed
from splicewright.api.worker_sync import Follower, RenewalReport, read_told
from tests.api.small import change, small_rulesets

MASTER = 1
KEYS = "keys:\n  - {name: one, sha256: %s, scopes: [ask]}\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "followers").mkdir()
    RenewalReport(rules=str(small_rulesets(tmp_path / "rules"))).write(tmp_path)
    return tmp_path


@pytest.fixture
def follower(folder: Path) -> Follower:
    return Follower(folder, MASTER, 0)


def changed(folder: Path) -> Path:
    copy = small_rulesets(folder / "changed")
    change(copy)
    return copy


def digest(one: Follower) -> str:
    return one.chooser.engine("nfpa70-2023").rulebook.digest


def does(
    folder: Path, told: Callable[[RenewalReport], RenewalReport], patch: pytest.MonkeyPatch
) -> list[tuple[int, int]]:
    """Stand in for a master that renews as soon as it is signalled; gives the signals."""
    signals: list[tuple[int, int]] = []

    def signalled(process: int, number: int) -> None:
        signals.append((process, number))
        told(read_told(folder)).write(folder)

    patch.setattr(worker_sync.os, "kill", signalled)
    return signals


def test_what_is_told_is_read_as_it_was_written(tmp_path: Path) -> None:
    told = RenewalReport(3, 2, "/somewhere", ("sha256:0",), ("a", "b"))
    told.write(tmp_path)
    assert read_told(tmp_path) == told


def test_process_answers_from_the_copy_that_it_is_told(follower: Follower, folder: Path) -> None:
    before = digest(follower)
    follower.take(replace(read_told(folder), ended=1, rules=str(changed(folder))))
    assert digest(follower) != before


def test_rules_that_stay_keep_their_answers(follower: Follower, folder: Path) -> None:
    cache = follower.chooser.cache
    follower.take(replace(read_told(folder), ended=1))
    assert follower.chooser.cache is cache


def test_process_has_the_keys_that_the_master_copied(folder: Path) -> None:
    (folder / "keys").write_text(KEYS % ("0" * 64))
    follower = Follower(folder, MASTER, 0)
    assert follower.keys
    (folder / "keys").write_text(KEYS % hashlib.sha256(b"a key of one").hexdigest())
    follower.take(replace(read_told(folder), ended=1))
    assert follower.keys.find("a key of one")


def test_renewal_is_asked_for_by_the_signal_and_waited_for(
    follower: Follower, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    rules = str(changed(folder))
    signals = does(folder, lambda told: replace(told, begun=1, ended=1, rules=rules), monkeypatch)
    before = digest(follower)
    follower.start()
    found = follower.renew()
    assert signals == [(MASTER, worker_sync.signal.SIGHUP)]
    assert digest(follower) != before
    assert found["status"] == "reloaded"


def test_one_call_at_a_time_waits_for_a_renewal(
    follower: Follower, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    refused: list[tuple[str, ...]] = []

    def asks_meanwhile(told: RenewalReport) -> RenewalReport:
        with pytest.raises(NotRenewed) as another:
            follower.renew()
        refused.append(another.value.reasons)
        return replace(told, begun=1, ended=1)

    does(folder, asks_meanwhile, monkeypatch)
    follower.start()
    assert follower.renew()["status"] == "reloaded"
    assert "another call is under way" in refused[0][0]


def test_renewal_that_has_begun_already_is_not_the_one_asked_for(
    follower: Follower, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    replace(read_told(folder), begun=1).write(folder)
    monkeypatch.setattr(worker_sync, "PATIENCE_S", 0)
    does(folder, lambda told: replace(told, ended=1), monkeypatch)
    with pytest.raises(NotRenewed, match="the master process has not renewed"):
        follower.renew()


def test_reasons_of_the_master_are_told(follower: Follower, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    does(folder, lambda told: replace(told, begun=1, ended=1, reasons=("x.yaml:3: bad",)), monkeypatch)
    follower.start()
    with pytest.raises(NotRenewed) as refused:
        follower.renew()
    assert refused.value.reasons == ("x.yaml:3: bad",)


def test_process_that_does_not_follow_is_not_waited_for_without_end(
    follower: Follower, folder: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (folder / "followers" / "999999").write_text("0")
    monkeypatch.setattr(worker_sync, "OTHERS_S", 0)
    does(folder, lambda told: replace(told, begun=1, ended=1), monkeypatch)
    with pytest.raises(NotRenewed, match="not answer from it yet"):
        follower.renew()


def test_fault_while_following_leaves_what_is_in_use(
    follower: Follower, folder: Path, caplog: pytest.LogCaptureFixture
) -> None:
    before = digest(follower)
    RenewalReport(1, 1, str(changed(folder)), ("sha256:of-something-else",)).write(folder)
    assert follower.look()
    assert digest(follower) == before
    assert "what is in use stays" in caplog.text


def test_process_stops_following_when_the_master_has_ended(follower: Follower, folder: Path) -> None:
    (folder / "told").unlink()
    assert not follower.look()


def test_process_goes_on_following_where_what_is_told_can_not_be_read_for_a_time(
    follower: Follower, folder: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    before = digest(follower)
    RenewalReport(1, 1, str(changed(folder))).write(folder)

    def refuse(where: Path) -> RenewalReport:
        if where != folder:  # another follower, which an earlier test has started
            return read_told(where)
        raise OSError(errno.EMFILE, os.strerror(errno.EMFILE))

    with monkeypatch.context() as full:
        full.setattr(worker_sync, "read_told", refuse)
        assert follower.look()
        assert follower.look()
    assert caplog.text.count("can't read what the master tells") == 1
    assert follower.look()
    assert digest(follower) != before


def test_what_fails_is_tried_again_ever_more_rarely_and_logged_once_for_each_renewal(
    follower: Follower, folder: Path, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    clock, tried = SimpleNamespace(now=1_000.0), []

    def fail(_: RenewalReport) -> None:
        tried.append(clock.now)
        raise ValueError("a fault")

    def look_for(seconds: int) -> None:
        for _ in range(10 * seconds):
            assert follower.look()
            clock.now += 0.1

    monkeypatch.setattr(worker_sync, "time", SimpleNamespace(monotonic=lambda: clock.now, sleep=time.sleep))
    RenewalReport(1, 1, str(changed(folder))).write(folder)
    before = digest(follower)
    with monkeypatch.context() as failing:
        failing.setattr(follower, "take", fail)
        look_for(200)
        assert 8 < len(tried) < 16
        assert max(after - one for one, after in pairwise(tried)) == pytest.approx(30, abs=0.5)
        assert caplog.text.count("can't follow the master") == 1
        replace(read_told(folder), ended=2).write(folder)
        assert follower.look()  # another renewal is tried at once
        assert tried[-1] == clock.now
        assert caplog.text.count("can't follow the master") == 2
    look_for(1)
    assert digest(follower) != before
