"""JUnit reports hold against a maintained XML schema (data/SOURCES.md); each joint is a test case."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest
import xmlschema

from splicewright.audit.run import Audited
from splicewright.reports.junit import findings_junit
from tests.audit.folder import BARRED, FINE, RULE, audited, write
from tests.reports.found import everything

SCHEMA = xmlschema.XMLSchema(str(Path(__file__).parent / "data" / "junit-10.xsd"))


def valid(text: str) -> ET.Element:
    SCHEMA.validate(text)
    return ET.fromstring(text)


@pytest.fixture(scope="module")
def found(tmp_path_factory: pytest.TempPathFactory) -> Audited:
    return everything(tmp_path_factory.mktemp("work"))


def case(root: ET.Element, name: str) -> ET.Element:
    (one,) = [one for one in root.iter("testcase") if one.get("name") == name]
    return one


def test_schema_refuses_what_is_no_report() -> None:
    with pytest.raises(xmlschema.XMLSchemaValidationError):
        valid("<testsuites><testcase/></testsuites>")


def test_each_file_is_a_suite_and_each_joint_a_case(found: Audited) -> None:
    root = valid(findings_junit(found, "error"))
    assert {(suite.get("name"), suite.get("tests")) for suite in root} == {
        ("broken.json", "1"),
        ("jobs/<a> & ü.yaml", "1"),
        ("jobs/fine.yaml", "1"),
        ("jobs/new.yaml", "4"),
        ("sheets/slip.xlsx", "2"),
    }


@pytest.mark.parametrize(("least", "failures"), [("error", 1), ("warning", 2), ("note", 3), ("never", 0)])
def test_case_fails_by_what_is_as_grave_as_asked(found: Audited, least: str, failures: int) -> None:
    root = valid(findings_junit(found, least))
    assert len([one for one in root.iter("testcase") if one.find("failure") is not None]) == failures


def test_failure_tells_place_and_rule(found: Audited) -> None:
    failure = case(valid(findings_junit(found, "error")), "barred").find("failure")
    assert failure is not None
    assert failure.get("type") == RULE
    assert (failure.get("message") or "").startswith("jobs/new.yaml:5:9: error: A joint inside a raceway")


def test_what_is_not_valid_is_an_error_of_the_case(found: Audited) -> None:
    error = case(valid(findings_junit(found, "error")), "k2").find("error")
    assert error is not None
    assert "Joints!E4" in (error.get("message") or "")


def test_waived_and_known_cases_are_skipped_with_the_reason(found: Audited) -> None:
    root = valid(findings_junit(found, "error"))
    for name, reason in (("waived", "old run"), ("=known", "in the baseline")):
        skipped = case(root, name).find("skipped")
        assert skipped is not None
        assert reason in (skipped.get("message") or "")


def test_what_does_not_fail_is_told_in_the_output(found: Audited) -> None:
    output = case(valid(findings_junit(found, "error")), "handed-over").find("system-out")
    assert output is not None
    assert "warning: " in (output.text or "")


def test_name_that_no_xml_may_hold_is_written_without_it(tmp_path: Path) -> None:
    write(tmp_path, {"a.yaml": 'id: "a\\x00b\\x1b"\n' + BARRED, "b.yaml": FINE})
    root = valid(findings_junit(audited(tmp_path), "error"))
    assert [one.get("name") for one in root.iter("testcase")] == ["a\ufffdb\ufffd", "entry 1"]


def test_same_findings_are_the_same_bytes(found: Audited) -> None:
    assert findings_junit(found, "error") == findings_junit(found, "error")


def test_case_with_many_failures_fails_once_and_tells_them_all(tmp_path: Path) -> None:
    write(tmp_path, {"a.csv": "id,size,count,exposure\na,12,x,sunny\nb,12 AWG,2,dry\n"})
    root = valid(findings_junit(audited(tmp_path), "error"))
    (suite,) = root
    assert [suite.get(key) for key in ("tests", "errors", "failures")] == ["2", "1", "0"]
    (error,) = case(root, "a").findall("error")
    assert (error.text or "").count("[input/invalid]") == 3
