from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from splicewright.memo import Memo


def test_what_was_made_is_given_and_remembered():
    memo: Memo[str, int] = Memo(2)
    assert memo.get("a") is None
    assert memo.keep("a", 1) == 1
    assert memo.get("a") == 1


@given(st.lists(st.integers(0, 20)), st.integers(0, 5))
def test_it_never_holds_more_than_the_most_and_forgets_all_at_once(keys, most):
    memo: Memo[int, str] = Memo(most)
    for key in keys:
        before = dict(memo)
        assert memo.keep(key, str(key)) == str(key)
        assert len(memo) <= max(most, 1)
        assert dict(memo) in ({**before, key: str(key)}, {key: str(key)})


def test_two_memos_share_nothing():
    one: Memo[str, int] = Memo(1)
    one.keep("a", 1)
    assert not Memo(1)
