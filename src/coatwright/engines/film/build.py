"""Wet film, dry film, solids and coverage: what conservation of the solids says."""

from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from coatwright.errors import RangeError

Number = TypeVar("Number", float, NDArray[np.float64])


def _solids(solids: float) -> float:
    if not 0 < solids <= 1:
        raise RangeError(f"volume solids of {solids:g}", instead="it must be above 0 and at most 1")
    return solids


def _share(share: float, name: str) -> float:
    if not 0 < share <= 1:
        raise RangeError(f"{name} of {share:g}", instead="it must be above 0 and at most 1")
    return share


def wet_from_dry(dry: Number, solids: float) -> Number:
    """Wet film that dries to a wanted dry film.

    Parameters
    ----------
    dry : float or array [m]
        Dry film.
    solids : float [-]
        Volume solids of what lies on the panel, above 0 and at most 1.

    Returns
    -------
    float or array [m]
        Wet film.

    Raises
    ------
    RangeError
        Solids outside 0 to 1.

    Validity
        The dry film is free of solvent and of air.
    Source
        wft-dft: WFT = DFT / VS.
    Checked
        tests/published/test_film.py.
    """
    return dry / _solids(solids)


def dry_from_wet(wet: Number, solids: float) -> Number:
    """Dry film that a wet film leaves.

    Parameters
    ----------
    wet : float or array [m]
        Wet film.
    solids : float [-]
        Volume solids of what lies on the panel, above 0 and at most 1.

    Returns
    -------
    float or array [m]
        Dry film.

    Raises
    ------
    RangeError
        Solids outside 0 to 1.

    Validity
        The dry film is free of solvent and of air.
    Source
        wft-dft.
    Checked
        tests/published/test_film.py.
    """
    return wet * _solids(solids)


def thinned_solids(solids: float, thinner: float) -> float:
    """Volume solids after thinner is added to a mix.

    Parameters
    ----------
    solids : float [-]
        Volume solids before, above 0 and at most 1.
    thinner : float [-]
        Thinner by volume, as a share of the mix before, 0 or more.

    Returns
    -------
    float [-]
        solids / (1 + thinner).

    Raises
    ------
    RangeError
        Solids outside 0 to 1, or a negative share.

    Source
        wft-dft: WFT = DFT (1 + T) / VS (form from memory; follows from conservation of solids).
    Checked
        tests/published/test_film.py.
    """
    if not thinner >= 0:
        raise RangeError(f"a thinner share of {thinner:g}", instead="it must be 0 or more")
    return _solids(solids) / (1 + thinner)


def landed_solids(solids: float, in_flight_loss: float) -> float:
    """Volume solids of the paint as it lands, some solvent having left in flight.

    Parameters
    ----------
    solids : float [-]
        Volume solids in the gun, above 0 and at most 1.
    in_flight_loss : float [-]
        Share of the solvent that leaves between nozzle and panel, 0 to 1.

    Returns
    -------
    float [-]
        Volume solids on the panel.

    Raises
    ------
    RangeError
        Solids or loss outside their range.

    Validity
        The loss itself is an assumption of the product sheet until weighed.
    Source
        derived: conservation of volume.
    Checked
        tests/properties/test_film.py.
    """
    if not 0 <= in_flight_loss <= 1:
        raise RangeError(f"an in-flight loss of {in_flight_loss:g}", instead="it must be 0 to 1")
    return _solids(solids) / (solids + (1 - solids) * (1 - in_flight_loss))


def coverage(solids: float, dry: float, transfer: float = 1.0) -> float:
    """Area that a volume of paint covers at a dry film.

    Parameters
    ----------
    solids : float [-]
        Volume solids as sprayed, above 0 and at most 1.
    dry : float [m]
        Dry film, above 0.
    transfer : float [-]
        Share of the solids that ends on the part; 1 gives the theoretical coverage.

    Returns
    -------
    float [m2/m3]
        Divide by 1000 for m2/L.

    Raises
    ------
    RangeError
        Solids, film or transfer outside their range.

    Source
        coverage-10vs; us-1604 (the same in ft2 per US gallon and mils).
    Checked
        tests/published/test_film.py.
    """
    if not dry > 0:
        raise RangeError(f"a dry film of {dry:g} m", instead="it must be above 0")
    return _solids(solids) * _share(transfer, "transfer") / dry


def volume_for(area: float, dry: float, solids: float, transfer: float = 1.0) -> float:
    """Paint as sprayed that an area takes for a dry film.

    Parameters
    ----------
    area : float [m2]
        Area to cover.
    dry : float [m]
        Dry film.
    solids : float [-]
        Volume solids as sprayed, above 0 and at most 1.
    transfer : float [-]
        Share of the solids that ends on the part.

    Returns
    -------
    float [m3]
        Volume through the gun, without line fill and test cards.

    Raises
    ------
    RangeError
        Solids or transfer outside their range.

    Source
        coverage-10vs, solved for the volume.
    Checked
        tests/published/test_film.py.
    """
    return area * dry / (_solids(solids) * _share(transfer, "transfer"))


def transfer_efficiency(area: float, dry: float, solids: float, volume: float) -> float:
    """Transfer efficiency that a measured film and a measured use of paint mean.

    Parameters
    ----------
    area : float [m2]
        Area covered.
    dry : float [m]
        Mean dry film found on it.
    solids : float [-]
        Volume solids as sprayed, above 0 and at most 1.
    volume : float [m3]
        Paint sprayed, above 0.

    Returns
    -------
    float [-]
        Solids on the part over solids sprayed; above 1 means a measurement is wrong.

    Raises
    ------
    RangeError
        Solids outside 0 to 1 or no paint sprayed.

    Source
        aqmd-transfer (definition).
    Checked
        tests/published/test_film.py.
    """
    if not volume > 0:
        raise RangeError(f"a volume sprayed of {volume:g} m3", instead="it must be above 0")
    return area * dry / (_solids(solids) * volume)
