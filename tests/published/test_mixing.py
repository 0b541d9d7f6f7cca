"""Published values of engines.mixing, one case per value."""

import pytest

from published.cases import cases, faults


@pytest.mark.parametrize("case", cases("mixing"), ids=str)
def test_published(case):
    assert faults(case) == []


@pytest.mark.parametrize("case", cases("data"), ids=str)
def test_limits_are_those_of_the_law(case):
    assert faults(case) == []
