"""The viscosity of water against the full international formulation (IAPWS), evaluated by another library."""

import numpy as np
import pytest
from stilltank.science import hydraulics, pure_water
from stilltank.units import Q

iapws = pytest.importorskip("iapws")


def test_viscosity_from_0_to_40():
    """The simplified equation claims to follow the full one closely at one atmosphere; 0.01 percent was found."""
    degrees = np.arange(0.5, 40.1, 2)
    full = [1000 * iapws.IAPWS95(T=degree + 273.15, P=0.101325).mu for degree in degrees]
    assert pure_water.viscosity(Q(degrees, "degC")).m_as("mPa*s") == pytest.approx(full, rel=2e-4)


def test_a_warm_laminar_emitter():
    cold, warm = (iapws.IAPWS95(T=degree + 273.15, P=0.101325).mu for degree in (10, 30))
    degrees = Q([10, 30], "degC")
    flows = hydraulics.emitter_flow(Q(4, "L/hour"), Q(10, "m"), "laminar", Q(1, "m"), temperature=degrees)
    assert (flows[1] / flows[0]).m_as("dimensionless") == pytest.approx(cold / warm, rel=2e-4)
