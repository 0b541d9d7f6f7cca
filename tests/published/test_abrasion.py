"""Published values of engines.abrasion, one case per value."""

import pytest

from published.cases import cases, faults


@pytest.mark.parametrize("case", cases("abrasion"), ids=str)
def test_published(case):
    assert faults(case) == []
