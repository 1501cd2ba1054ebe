"""A tank whose sums can be done by hand: 1 L is 1 cm, and the crop drinks the reference evapotranspiration."""

from dataclasses import replace

from stilltank.science import demand
from stilltank.science.tank import Box
from stilltank.units import Q

CROP = replace(
    demand.field_crop("lettuce"), canopy_area=Q(0.1, "m^2"), kcb_initial=1.0, kcb_mid=1.0, kcb_end=1.0
)  # drinks the reference evapotranspiration of 0.1 m2 all its life
TANK = Box(Q(50, "cm"), Q(20, "cm"), Q(30, "cm"), net_pot_depth=Q(7, "cm"))  # 0.1 m2: 1 L is 1 cm
ALL = Q(100, "percent")
NONE = Q(0, "percent")
