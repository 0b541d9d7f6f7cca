"""The kernel's logarithm and power of two, against NumPy's in double precision."""

import numpy as np
import pytest
from numba import njit

from coatwright.engines.spray._kernels import exp2, log2


@njit
def logs(values):
    found = np.empty_like(values)
    for i in range(len(values)):
        found[i] = log2(values[i])
    return found


@njit
def powers(values):
    found = np.empty_like(values)
    for i in range(len(values)):
        found[i] = exp2(values[i])
    return found


# Half a unit in the last place of 1 is 6e-8 in single precision, of 16 it is 1e-6.
@pytest.mark.parametrize(("low", "tolerance"), [(-0.5, 2e-7), (-16.0, 2e-6), (-120.0, 8e-6)])
def test_logarithm_in_single(low, tolerance):
    values = np.exp2(np.linspace(low, 0.0, 200_001)).astype(np.float32)
    found = logs(values)
    assert found.dtype == np.float32
    assert np.abs(found - np.log2(values.astype(np.float64))).max() < tolerance


def test_logarithm_keeps_its_relative_precision_near_one():
    values = (1.0 - np.geomspace(1e-6, 0.2, 10_001)).astype(np.float32)
    exact = np.log2(values.astype(np.float64))
    assert np.abs(logs(values) / exact - 1.0).max() < 4e-7


def test_power_in_single():
    values = np.linspace(-125.0, 0.0, 200_001).astype(np.float32)
    found = powers(values)
    assert found.dtype == np.float32
    assert np.abs(found / np.exp2(values.astype(np.float64)) - 1.0).max() < 3e-7
    assert powers(np.array([0.0], np.float32))[0] == 1.0


@pytest.mark.parametrize("wrong", [0.0, -1.0, -np.inf])
def test_what_lies_outside_stays_a_number(wrong):
    """A lane outside the fan is left aside, but must not stop or poison the ones beside it."""
    found = logs(np.array([wrong, 0.5], np.float32))
    assert np.isfinite(found).all()
    assert found[1] == -1.0
    assert 0.0 <= powers(np.array([-1e30], np.float32))[0] < 1e-37


def test_double_goes_through_the_library():
    values = np.linspace(1e-3, 1.0, 101)
    assert logs(values) == pytest.approx(np.log2(values), rel=1e-14)
    assert powers(-values) == pytest.approx(np.exp2(-values), rel=1e-14)
