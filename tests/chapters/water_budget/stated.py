"""How each stated value of the water budget chapter is computed, through the public functions."""

from dataclasses import replace

import numpy as np
from stilltank.science import budget, demand, hydraulics, sky
from stilltank.science.pure_water import water_density
from stilltank.science.tank import Box, TaperedBox, TaperedCylinder, lifting_index
from stilltank.science.weather import Weather
from stilltank.tables import load
from stilltank.units import Q

TOTE = TaperedBox(Q(50, "cm"), Q(32, "cm"), Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
LUMP = TaperedBox(Q(46, "cm"), Q(10.5, "cm"), Q(73, "cm"), Q(37, "cm"), Q(4.6, "cm"))
CONE = TaperedCylinder(Q(8, "m"), Q(14, "m"), Q(3, "m"))
BUCKET = TaperedCylinder(Q(26, "cm"), Q(30, "cm"), Q(36, "cm"))
FLAT = Box(Q(60, "cm"), Q(40, "cm"), Q(32, "cm"))
NARROW = Box(Q(50, "cm"), Q(40, "cm"), Q(30, "cm"), lid_area=Q(0.24, "m^2"))
HEADS = Q([6, 12], "m")
SQUARE_METRE = Box(Q(1, "m"), Q(1, "m"), Q(30, "cm"))
MID_MONTHS = dict(zip("abcdefghijkl", (15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349), strict=True))
RIO = Q(-22.9, "degree")
FULL = 1.08  # of the rows on partial cover
LETTUCE = replace(demand.field_crop("lettuce"), canopy_area=Q(0.04, "m^2"))
LETTUCE_ON_SOIL = demand.on_soil(LETTUCE)
CUT_SUNFLOWER = replace(
    demand.field_crop("sunflower"),
    canopy_area=Q(0.052, "m^2"),
    kcb_end=demand.field_crop("sunflower").kcb_mid,
    stage_initial=Q(15, "day"),
    stage_development=Q(30, "day"),
    stage_mid=Q(30, "day"),
    stage_late=Q(10, "day"),
)
BEANS = replace(
    LETTUCE,
    kcb_initial=0.15,
    kcb_mid=1.14,
    kcb_end=0.25,
    stage_initial=Q(25, "day"),
    stage_development=Q(25, "day"),
    stage_mid=Q(30, "day"),
    stage_late=Q(20, "day"),
)
LYON = Weather(
    ["2015-07-15"], Q([26.6], "degC"), Q([14.8], "degC"), latitude=Q(45.72, "degree"), altitude=Q(200, "m")
)
UCCLE = Weather(
    ["2015-07-06"],
    Q([21.5], "degC"),
    Q([12.3], "degC"),
    relative_humidity_max=Q([84], "percent"),
    relative_humidity_min=Q([63], "percent"),
    wind_speed=Q([10], "km/hour"),
    wind_height=Q(10, "m"),
    sunshine=Q([9.25], "hour"),
    latitude=Q(50.8, "degree"),
    altitude=Q(100, "m"),
)


def _vapour_of_example_5():
    return sky.actual_vapour_pressure(
        Q(25, "degC"),
        Q(18, "degC"),
        relative_humidity_max=Q(82, "percent"),
        relative_humidity_min=Q(54, "percent"),
    )


def _bangkok():
    high, low, vapour, altitude = Q(34.8, "degC"), Q(25.6, "degC"), Q(2.85, "kPa"), Q(2, "m")
    latitude = Q(13.73, "degree")
    clear = sky.clear_sky_radiation(sky.extraterrestrial_radiation(latitude, 105), altitude)
    solar = sky.solar_radiation_from_sunshine(latitude, 105, Q(8.5, "hour"))
    return demand.penman_monteith(
        sky.net_shortwave_radiation(solar) - sky.net_longwave_radiation(high, low, vapour, solar, clear),
        Q(30.2, "degC"),
        Q(2, "m/s"),
        sky.mean_saturation_vapour_pressure(high, low),
        vapour,
        sky.atmospheric_pressure(altitude),
        Q(0.14, "MJ/m^2/day"),
    )


NDIAYE = {
    "latitude": Q(16.22, "degree"),
    "longitude": Q(-16.25, "degree"),
    "zone_longitude": Q(-15, "degree"),
}


def _hour_of_example_19():
    return sky.hourly_extraterrestrial_radiation(day_of_year=274, hour=14.5, **NDIAYE)


def _ndiaye():
    temperature = Q(38, "degC")
    return demand.hourly_reference_et(
        temperature,
        0.52 * sky.saturation_vapour_pressure(temperature),
        Q(3.3, "m/s"),
        Q(2.45, "MJ/m^2/hour"),
        _hour_of_example_19(),
        Q(8, "m"),
    )


def _kilogram(name):
    return demand.published_water_use("lettuce", Q(1, "kg"))[name]


def _container():
    return load("litres")["container of one fill, one plant", "container"].quantity


def _field_litres(name, area):
    return demand.water_to_harvest(replace(demand.field_crop(name), canopy_area=area), Q(4, "mm/day"))


def _lettuce_in_salt(end):
    known = load("field-crops")["lettuce", "salt threshold"].range
    slope = load("field-crops")["lettuce", "salt slope"].quantity
    return demand.salt_limited_yield(Q(2.5, "mS/cm"), known[0 if end == "low" else 1], slope)


def _by_height(metres):
    return demand.full_cover_coefficient(Q(metres, "m"))


def _spinach_in(wind, humidity):
    spinach = demand.field_crop("spinach")
    return demand.adjusted_crop_coefficient(
        spinach.kcb_mid, Q(wind, "m/s"), Q(humidity, "percent"), Q(0.3, "m")
    )


def _full_of_example_41():
    return demand.adjusted_crop_coefficient(
        _by_height(2).magnitude, Q(1.5, "m/s"), Q(55, "percent"), Q(2, "m")
    )


def _depth(study):
    return load("litres")[study, "depth of water"].quantity


def _mean_use(study):
    return _depth(study) / load("litres")[study, "days"].quantity


def _drips(kind, temperature=None):
    return hydraulics.emitter_flow(Q(4, "L/hour"), Q(10, "m"), kind, HEADS, Q(5, "m"), temperature)


def _exponent(flows):
    """How flow follows head, as it shows in two flows at two heads."""
    return float(np.log(flows[1] / flows[0]) / np.log(HEADS[1] / HEADS[0]))


COMPUTED = {
    "W01": lambda: 0.8 * Q(15, "MJ/m^2/day") / sky.latent_heat_of_vaporisation(Q(20, "degC")) / Q(1, "kg/L"),
    "W02": lambda: sky.atmospheric_pressure(Q(1800, "m")),
    "W05": lambda: sky.saturation_vapour_pressure(Q(24.5, "degC")),
    "W06": lambda: sky.saturation_vapour_pressure(Q(30, "degC")),
    "W07": lambda: sky.mean_saturation_vapour_pressure(Q(24.5, "degC"), Q(15, "degC")),
    "W10": _vapour_of_example_5,
    "W12": lambda: sky.mean_saturation_vapour_pressure(Q(25, "degC"), Q(18, "degC")) - _vapour_of_example_5(),
    "W13a": lambda: sky.slope_of_saturation_vapour_pressure(Q(20, "degC")),
    "W13b": lambda: sky.slope_of_saturation_vapour_pressure(Q(25, "degC")),
    "W14": lambda: sky.extraterrestrial_radiation(Q(-20, "degree"), 246),
    "W16": lambda: sky.extraterrestrial_radiation(Q(13.73, "degree"), 105),
    **{
        f"W18{letter}": lambda day=day: sky.extraterrestrial_radiation(Q(40, "degree"), day)
        for letter, day in MID_MONTHS.items()
    },
    "W19": lambda: sky.daylight_hours(Q(-20, "degree"), 246),
    "W20": lambda: sky.daylight_hours(RIO, 135),
    "W21a": lambda: sky.daylight_hours(Q(13.73, "degree"), 105),
    "W21b": lambda: sky.daylight_hours(Q(50.8, "degree"), 187),
    "W22": lambda: sky.solar_radiation_from_sunshine(RIO, 135, Q(220, "hour") / 31),
    "W23": lambda: sky.net_longwave_radiation(
        Q(25.1, "degC"), Q(19.1, "degC"), Q(2.1, "kPa"), Q(14.5, "MJ/m^2/day"), Q(18.8, "MJ/m^2/day")
    ),
    "W25": lambda: sky.wind_speed_at_2m(Q(3.2, "m/s"), Q(10, "m")),
    "W26a": lambda: sky.wind_speed_at_2m(Q(1, "m/s"), Q(1, "m")) / Q(1, "m/s"),
    "W26b": lambda: sky.wind_speed_at_2m(Q(1, "m/s"), Q(3, "m")) / Q(1, "m/s"),
    "W26c": lambda: sky.wind_speed_at_2m(Q(1, "m/s"), Q(10, "m")) / Q(1, "m/s"),
    "W27": lambda: sky.solar_radiation_from_temperature(
        Q(45.72, "degree"), 196, Q(26.6, "degC"), Q(14.8, "degC")
    ),
    "W29": _bangkok,
    "W30": lambda: demand.reference_et(UCCLE)[0],
    "W31": lambda: demand.reference_et(replace(UCCLE, wind_height=Q(2, "m")))[0],
    "W33": _ndiaye,
    "W33a": _hour_of_example_19,
    "W35": lambda: demand.reference_et(LYON)[0],
    "W37": lambda: demand.hargreaves(LYON)[0],
    "W40a": lambda: demand.crop_coefficient(LETTUCE_ON_SOIL, 20),
    "W40b": lambda: demand.crop_coefficient(LETTUCE_ON_SOIL, 60),
    "W40c": lambda: demand.crop_coefficient(LETTUCE_ON_SOIL, 75),
    "W41a": lambda: demand.crop_coefficient(LETTUCE, 20),
    "W41b": lambda: demand.crop_coefficient(LETTUCE, 60),
    "W41c": lambda: demand.crop_coefficient(LETTUCE, 75),
    "W43": lambda: Q(demand.season_length(LETTUCE), "day"),
    "W44a": lambda: demand.adjusted_crop_coefficient(1.2, Q(1.3, "m/s"), Q(75, "percent"), Q(2, "m")),
    "W44b": lambda: demand.adjusted_crop_coefficient(1.2, Q(4.6, "m/s"), Q(44, "percent"), Q(2, "m")),
    "W46": lambda: demand.crop_coefficient(BEANS, 20),
    "W48a": lambda: demand.water_to_harvest(LETTUCE_ON_SOIL, Q(4, "mm/day")),
    "W48b": lambda: demand.water_to_harvest(LETTUCE, Q(4, "mm/day")),
    "S09": lambda: demand.adjusted_crop_coefficient(1.1, Q(2.2, "m/s"), Q(30, "percent"), Q(0.4, "m")),
    "S12a": _full_of_example_41,
    "S12b": lambda: demand.partial_cover_coefficient(
        _full_of_example_41().magnitude, Q(30, "percent"), Q(2, "m"), Q(40, "percent")
    ),
    "S16a": lambda: _by_height(0.3),
    "S16b": lambda: _by_height(0.8),
    "S16c": lambda: _by_height(1.4),
    "S16d": lambda: _by_height(2.5),
    "S18a": lambda: demand.leaf_area_coefficient(FULL, 1),
    "S18b": lambda: demand.leaf_area_coefficient(FULL, 2),
    "S18c": lambda: demand.leaf_area_coefficient(FULL, 3),
    "S19": lambda: demand.partial_cover_coefficient(FULL, Q(50, "percent"), Q(0.8, "m")),
    "S21a": lambda: _spinach_in(4, 20),
    "S21b": lambda: _spinach_in(1, 70),
    "S23": lambda: demand.isolated_stand_coefficient(Q(0.5, "m"), Q(0.6, "m")),
    "S36a": lambda: _lettuce_in_salt("low"),
    "S36b": lambda: _lettuce_in_salt("high"),
    "S28": lambda: _field_litres("spinach", Q(0.03, "m^2")),
    "S31": lambda: _field_litres("table beet", Q(0.04, "m^2")),
    "S32": lambda: demand.water_to_harvest(CUT_SUNFLOWER, Q(5, "mm/day")),
    "S33": lambda: _mean_use("lysimeters in Brazil"),
    "S34a": lambda: _mean_use("greenhouse in Urmia"),
    "S34b": lambda: _depth("greenhouse in Urmia") * Q(0.04, "m^2"),
    "W52": lambda: _kilogram("LED and 215 umol/m2/s"),
    "W53": lambda: _kilogram("LED and 11.5 mol/m2/d"),
    "W54a": lambda: _container() / Q(7, "week"),
    "W54b": lambda: _container() / Q(6, "week"),
    "W57a": lambda: demand.published_water_use("lettuce", Q(150, "g"))["literature for Arizona"],
    "W57b": lambda: demand.published_water_use("lettuce", Q(150, "g"))["LED and 215 umol/m2/s"],
    "G-W5": lambda: budget.concentration_after_uptake(
        Q(1.8, "mS/cm"), Q(1.2, "mS/cm"), Q(30, "L"), Q(15, "L")
    ),
    "G-W6": lambda: demand.published_water_use("lettuce", Q(220, "g"))["literature for Arizona"],
    "W58a": lambda: demand.stomatal_resistance(Q(0, "umol/m^2/s")),
    "W58b": lambda: demand.stomatal_resistance(Q(140, "umol/m^2/s")),
    "W58c": lambda: demand.stomatal_resistance(Q(300, "umol/m^2/s")),
    "W58d": lambda: demand.stomatal_resistance(Q(600, "umol/m^2/s")),
    "W60": lambda: TOTE.capacity,
    "W61": lambda: TOTE.volume(Q(16, "cm")),
    "W63": lambda: LUMP.capacity,
    "W64": lambda: CONE.volume(Q(2, "m")),
    "W65": lambda: BUCKET.capacity,
    "W66a": lambda: TOTE.area(Q(0, "cm")),
    "W66b": lambda: TOTE.area(Q(30, "cm")),
    "W66c": lambda: FLAT.uncertainty(Q(10, "cm"), Q(2, "mm")),
    "W67": lambda: hydraulics.rain_catch(Q(60, "cm") * Q(40, "cm"), Q(25, "mm")),
    "W67b": lambda: hydraulics.level_rise(
        NARROW, Q(10, "cm"), hydraulics.rain_into_tank(NARROW, Q(10, "mm"), lid="rimmed")
    ),
    "W69": hydraulics.discharge_coefficient,
    "W70a": lambda: hydraulics.orifice_flow(Q(12, "mm"), Q(10, "mm"), 0.6),
    "W70b": lambda: hydraulics.orifice_flow(Q(12, "mm"), Q(10, "mm")),
    "W70c": lambda: hydraulics.hole_flow(Q(12, "mm"), Q(12, "mm"), 0.6),
    "W72": lambda: hydraulics.overflow_diameter(Q(100, "mm/hour"), Q(0.24, "m^2"), Q(10, "mm"), 0.6).smallest,
    "W74": lambda: hydraulics.drain_time(FLAT, Q(30, "cm"), Q(5, "cm"), Q(6, "mm"), coefficient=0.6),
    "W75": lambda: hydraulics.head_for_flow(Q(4, "L/hour"), Q(10, "m"), 0.42, Q(4.32, "L/hour")),
    "W76a": lambda: _exponent(_drips("laminar")),
    "W76b": lambda: _exponent(_drips("smooth turbulent")),
    "W76c": lambda: _exponent(hydraulics.orifice_flow(Q(1, "mm"), HEADS)),
    "W76d": lambda: _exponent(_drips("compensating")),
    "W78": lambda: (_drips("laminar", Q(30, "degC")) / _drips("laminar", Q(10, "degC")))[0].m_as(
        "dimensionless"
    ),
    "SL01": lambda: lifting_index(Q(20, "kg")).limit,
    "SL02": lambda: lifting_index(Q(20, "kg")).index,
    "W79a": lambda: water_density(Q(4, "degC")),
    "W79b": lambda: water_density(Q(20, "degC")),
    "W79c": lambda: water_density(Q(25, "degC")),
    "W79d": lambda: water_density(Q(30, "degC")),
    "W80": lambda: Box(Q(50, "cm"), Q(40, "cm"), Q(30, "cm")).weight(Q(20, "cm"), Q(25, "degC")),
    "W81": lambda: sky.latent_heat_of_vaporisation(Q(20, "degC")),
    "R082": lambda: demand.vapour_through_gap(
        Q(5, "cm"), Q(1, "mm"), Q(5, "mm"), Q(25, "degC"), Q(50, "percent")
    ),
    "R090": lambda: SQUARE_METRE.level(Q(200, "L")) - SQUARE_METRE.level(Q(200, "L") - 25 * Q(4, "L")),
}
