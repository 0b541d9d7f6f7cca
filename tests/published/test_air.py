"""Published values of engines.air, one case per value."""

import pytest

from published.cases import cases, faults


@pytest.mark.parametrize("case", cases("air"), ids=str)
def test_published(case):
    assert faults(case) == []
