"""Published values of engines.drying, one case per value."""

import pytest

from published.cases import cases, faults


@pytest.mark.parametrize("case", cases("drying"), ids=str)
def test_published(case):
    assert faults(case) == []
