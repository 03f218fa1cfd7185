"""What the master of several processes keeps: copies of what was proved, and what it tells of them."""

from __future__ import annotations

import logging
import shutil
from collections.abc import Callable, Iterator
from pathlib import Path

import prometheus_client  # noqa: F401 - looks at its import whether figures are shared, which those here are not
import pytest

from splicewright import shipped
from splicewright.api import gunicorn_master
from splicewright.api.gunicorn_master import Master, Unfit, settings_of
from splicewright.api.worker_sync import RenewalReport, read_told
from splicewright.operate import reloading
from splicewright.operate.reloading import NotProven

HERE = [("127.0.0.1", 8000)]
KEYS = "keys:\n  - {name: one, sha256: %s, scopes: [ask]}\n"
Make = Callable[..., Master]


@pytest.fixture
def make(monkeypatch: pytest.MonkeyPatch) -> Iterator[Make]:
    """Make a master, whose rules count as proved unless they say otherwise."""
    made: list[Master] = []
    proofs = iter(range(1_000))
    logging_before = logging.root.handlers[:], logging.root.level

    def prove(copy: Path) -> tuple[str, ...]:
        if (copy / "bad.yaml").exists():
            raise NotProven([f"{copy}/bad.yaml:3: is bad"])
        return (f"sha256:{next(proofs)}",)

    monkeypatch.setattr(reloading, "prove_in_child", prove)
    monkeypatch.setenv(gunicorn_master.FIGURES_VARIABLE, "")  # so that it is taken back at the end

    def making(**settings: object) -> Master:
        for name, value in settings.items():
            monkeypatch.setenv(f"SPLICEWRIGHT_{name.upper()}", str(value))
        made.append(Master())
        return made[-1]

    yield making
    for master in made:
        master.stop()
    logging.root.handlers[:], logging.root.level = logging_before


@pytest.fixture
def rulesets(tmp_path: Path) -> Path:
    return Path(shutil.copytree(shipped.folder("rulesets"), tmp_path / "rulesets"))


def renewed(master: Master) -> RenewalReport:
    master.renew()
    return read_told(master.folder)


def test_what_is_told_is_a_copy_of_the_rules(make: Make, rulesets: Path) -> None:
    master = make(rulesets=rulesets)
    master.begin(HERE)
    told = read_told(master.folder)
    assert told.digests == ("sha256:0",)
    assert Path(told.rules).parent == master.folder
    assert (Path(told.rules) / "nfpa70" / "environment.yaml").exists()


def test_shipped_rules_are_not_proved_at_the_start(make: Make) -> None:
    master = make()
    master.begin(HERE)
    assert read_told(master.folder).digests == ()


def test_renewal_tells_a_further_copy_and_old_ones_go(make: Make, rulesets: Path) -> None:
    master = make(rulesets=rulesets)
    master.begin(HERE)
    first = Path(read_told(master.folder).rules)
    told = [renewed(master) for _ in range(4)]
    assert [(one.begun, one.ended) for one in told] == [(1, 1), (2, 2), (3, 3), (4, 4)]
    assert not first.exists()
    assert all(Path(one.rules).exists() for one in told)


def test_rules_that_fail_are_told_by_their_own_place_and_the_copy_stays(make: Make, rulesets: Path) -> None:
    master = make(rulesets=rulesets)
    master.begin(HERE)
    before = read_told(master.folder)
    (rulesets / "bad.yaml").touch()
    told = renewed(master)
    assert told.reasons == (f"{rulesets}/bad.yaml:3: is bad",)
    assert (told.rules, told.digests, told.ended) == (before.rules, before.digests, 1)


def test_rules_that_are_gone_are_a_reason_too(make: Make, rulesets: Path) -> None:
    master = make(rulesets=rulesets)
    master.begin(HERE)
    shutil.rmtree(rulesets)
    assert renewed(master).reasons[0].startswith(f"{rulesets}: can't be read")


def test_rules_that_did_not_change_keep_their_copy(make: Make, rulesets: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(reloading, "prove_in_child", lambda _: ("sha256:same",))
    master = make(rulesets=rulesets)
    monkeypatch.setattr(reloading, "prove_in_child", lambda _: ("sha256:same",))
    master.begin(HERE)
    before = read_told(master.folder)
    assert renewed(master).rules == before.rules


def test_keys_are_copied_for_the_owner_only_and_faulty_ones_are_told_by_their_own_place(
    make: Make, tmp_path: Path
) -> None:
    keys = tmp_path / "keys.yaml"
    keys.write_text(KEYS % ("0" * 64))
    master = make(keys=keys)
    master.begin(HERE)
    copy = master.folder / "keys"
    assert copy.read_text() == keys.read_text()
    assert master.folder.stat().st_mode & 0o077 == 0
    keys.write_text(KEYS % "none")
    assert renewed(master).reasons[0].startswith(f"{keys}:2: one: sha256")
    assert copy.read_text() == KEYS % ("0" * 64)


def test_keys_that_are_not_there_are_no_start(make: Make, tmp_path: Path) -> None:
    master = make(keys=tmp_path / "none.yaml")
    with pytest.raises(Unfit, match=r"none\.yaml: No such file"):
        master.begin(HERE)
    assert not master.folder.exists()


@pytest.mark.parametrize("settings", [{"threads": "many"}, {"thread": "4"}])
def test_settings_that_are_none_are_no_start(make: Make, settings: dict[str, str]) -> None:
    with pytest.raises(Unfit, match="SPLICEWRIGHT_THREAD"):
        make(**settings)


@pytest.mark.parametrize("address", [("0.0.0.0", 80), ("::", 80)])
def test_address_beyond_this_machine_asks_for_keys(make: Make, address: tuple[str, int]) -> None:
    with pytest.raises(Unfit, match="can be reached from other machines"):
        make().begin([*HERE, address])


def test_socket_of_this_machine_asks_for_none(make: Make) -> None:
    make().begin(["/run/splicewright.sock"])


def test_nothing_is_left_at_the_end(make: Make) -> None:
    master = make()
    master.begin(HERE)
    master.stop()
    assert not master.folder.exists()


def test_process_that_has_ended_is_not_waited_for(make: Make) -> None:
    master = make()
    master.begin(HERE)
    mark = master.folder / "followers" / "123"
    mark.write_text("0")
    master.forget(123)
    assert not mark.exists()


def test_settings_of_the_server_follow_from_ours(make: Make) -> None:
    found = settings_of(make(host="::1", port="81", workers="3", patience="20"))
    assert (found["bind"], found["workers"], found["graceful_timeout"]) == ("[::1]:81", 3, 20)
