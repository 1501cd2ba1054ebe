"""What all tests share."""

import doctest

import numpy as np
import pytest
from hypothesis import settings

settings.register_profile("any machine", deadline=None)  # nothing fails on wall-clock time
settings.load_profile("any machine")


@pytest.fixture(autouse=True)
def _plain_doctest(doctest_namespace):
    from stilltank.units import Q

    doctest_namespace["Q"] = Q
    doctest_namespace["np"] = np


DOCTEST_FLAGS = doctest.ELLIPSIS | doctest.NORMALIZE_WHITESPACE | doctest.IGNORE_EXCEPTION_DETAIL
