"""`why` prints trees and what was tried; what is wrong is told as everywhere."""

from __future__ import annotations

import json

from click.testing import CliRunner, Result

from splicewright.cli.main import main

QUESTION = """joint: {conductors: [{size: 12 AWG, count: 2}, {size: 18 AWG, construction: fine-stranded}]}
place: {exposure: wet, site: outdoors}
"""


def ran(*words: str, given: str = QUESTION) -> Result:
    return CliRunner().invoke(main, ["why", "-", *words], input=given)


def test_the_screen_tells_the_proof_the_listing_and_what_was_tried() -> None:
    ended = ran("--connector", "lever-3-port")
    shown = " ".join(ended.stdout.split())
    assert ended.exit_code == 0
    assert "lever-3-port (lever): refused" in shown
    assert "asks places includes-any wet, burial, submersion; its listing: damp, dry" in shown
    assert "place.exposure: wet" in shown
    assert "these make it an option: • place: exposure dry (then number 1)" in shown
    assert "None of" in ran("--connector", "push-in-3-port").stdout


def test_an_option_is_told_by_its_number() -> None:
    given = "{joint: {conductors: [{size: 14 AWG, count: 3}]}}"
    shown = " ".join(ran("--connector", "lever-3-port", given=given).stdout.split())
    assert "lever-3-port (lever): an option, number 2" in shown
    assert "the first offered has what it lacks:" in shown


def test_a_connector_of_a_joint_that_is_not_made_was_not_looked_at() -> None:
    barred = "{joint: {conductors: [{size: 12 AWG}, {size: 12 AWG, role: grounded}]}}"
    shown = " ".join(ran("--connector", "lever-2-port", given=barred).stdout.split())
    assert "lever-2-port (lever): not looked at, since the joint is barred There was no single change to try." in shown
    referred = "{joint: {conductors: [{size: 12 AWG, count: 2}]}, circuit: {volts: 15000}}"
    shown = " ".join(ran("--connector", "lever-2-port", given=referred).stdout.split())
    assert "lever-2-port (lever): not looked at, since the joint is outside this tool" in shown


def test_json_has_the_same() -> None:
    told = json.loads(ran("--format", "json", "--connector", "lever-3-port").stdout)
    assert told["connector"]["standing"] == "refused"
    assert told["rulesets"]["code"] == "nfpa70-2023"


def test_what_is_wrong_is_told() -> None:
    ended = ran("--connector", "lever-3-prt")
    assert (ended.exit_code, '--connector: "lever-3-prt" is not known; did you mean' in ended.stderr) == (2, True)
    ended = ran(given="{joint: {conductors: []}}")
    assert (ended.exit_code, "/joint/conductors: has 0 entries" in ended.stderr) == (2, True)
