from __future__ import annotations

from dataclasses import fields

import pytest

from splicewright.api.settings import Settings, SettingsSchema, declared, defaults, exposed
from splicewright.strict_schema import load


def test_every_setting_has_a_field_a_default_and_a_description() -> None:
    assert [one.name for one in fields(Settings)] == list(declared())
    assert all(field.metadata["description"] for field in declared().values())


def test_every_default_is_a_value_that_the_setting_may_have() -> None:
    given = {name: value for name, value in defaults().items() if value is not None}
    assert load(SettingsSchema(), given)


@pytest.mark.parametrize("host", ["127.0.0.1", "127.8.0.1", "::1", "localhost"])
def test_own_machine_needs_no_keys(host: str) -> None:
    assert exposed(Settings(host=host)) is None


@pytest.mark.parametrize("host", ["0.0.0.0", "::", "192.0.2.7", "estimates.example"])
def test_other_machines_need_keys_or_the_word_that_anyone_may_ask(host: str) -> None:
    assert "no keys are asked for" in (exposed(Settings(host=host)) or "")
    assert exposed(Settings(host=host, keys="keys.yaml")) is None
    assert exposed(Settings(host=host, open_to_anyone=True)) is None
