"""Published values of engines.rheology, one case per value."""

import pytest

from published.cases import cases, faults


@pytest.mark.parametrize("case", cases("rheology"), ids=str)
def test_published(case):
    assert faults(case) == []
