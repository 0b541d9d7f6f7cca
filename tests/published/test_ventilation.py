"""Published values of engines.ventilation, one case per value."""

import pytest

from published.cases import cases, faults


@pytest.mark.parametrize("case", cases("ventilation"), ids=str)
def test_published(case):
    assert faults(case) == []
