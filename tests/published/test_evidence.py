"""Published values of engines.evidence, one case per value."""

import pytest

from published.cases import cases, faults


@pytest.mark.parametrize("case", cases("evidence"), ids=str)
def test_published(case):
    assert faults(case) == []
