"""Published values of engines.film, one case per value."""

import pytest

from published.cases import cases, faults


@pytest.mark.parametrize("case", cases("film"), ids=str)
def test_published(case):
    assert faults(case) == []
