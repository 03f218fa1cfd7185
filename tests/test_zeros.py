"""What is kept has zeros for digests, and nothing else is taken for one."""

from __future__ import annotations

import re

import pytest

from tests.readme import ROOT
from tests.zeros import as_zeros

DIGEST, TAG = "0123456789abcdef" * 4, "0123456789abcdef" * 2
KEPT = [
    path
    for top in ("*.md", "docker/*.md", "openapi/**/*.md", "openapi/**/*.yaml", "tests/cases/**/*.yaml")
    for path in ROOT.glob(top)
]


@pytest.mark.parametrize(
    ("value", "zeros"),
    [
        (f"answer sha256:{DIGEST}", "answer sha256:" + "0" * 64),
        ([{"digest": f"sha256:{DIGEST}", "more": 3}], [{"digest": "sha256:" + "0" * 64, "more": 3}]),
        (f'there is "{TAG}"', f'there is "{"0" * 32}"'),
        (f"sha256:{DIGEST[1:]}", f"sha256:{DIGEST[1:]}"),  # a digit is missing: that is no digest
        (f"sha256:{DIGEST}a", f"sha256:{DIGEST}a"),
        (f"    sha256: {DIGEST}", f"    sha256: {DIGEST}"),  # of a key
        ([True, None, 1.5], [True, None, 1.5]),
    ],
)
def test_digests_are_zeros_and_all_else_stands(value: object, zeros: object) -> None:
    assert as_zeros(value) == zeros


def test_no_kept_file_has_a_digest_that_changes_with_the_rules() -> None:
    live = [path for path in KEPT if re.search(r"sha256:(?!0{64})[0-9a-f]{64}", path.read_text(encoding="utf-8"))]
    assert len(KEPT) > 50
    assert live == []
