"""Whatever is made of the document, good or bad, is answered as the document says, and never by a failure."""

from __future__ import annotations

import pytest
from hypothesis import HealthCheck, settings
from schemathesis import Case

from tests.contract.fuzzing import EXAMPLES, schema

SCHEMA = schema()


@pytest.mark.slow
@pytest.mark.filterwarnings("ignore")
@SCHEMA.parametrize()
@settings(max_examples=EXAMPLES, deadline=None, suppress_health_check=list(HealthCheck))
def test_answers_to_generated_requests_are_as_documented(case: Case) -> None:
    case.call_and_validate()
