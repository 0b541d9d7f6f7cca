"""Published values of engines.climate, one case per value."""

import pytest

from published.cases import cases, faults


@pytest.mark.parametrize("case", cases("climate"), ids=str)
def test_published(case):
    assert faults(case) == []
