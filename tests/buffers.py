"""The pH of standard buffers, as the standard states it."""

STANDARDS = {
    "phthalate": (4.003, 3.998, 4.002, 4.008, 4.015, 4.035),
    "phosphate": (6.984, 6.923, 6.881, 6.865, 6.853, 6.838),
    "borax": (9.464, 9.332, 9.225, 9.180, 9.139, 9.068),
    "carbonate": (10.317, 10.179, 10.062, 10.012, 9.966, 9.889),
}
