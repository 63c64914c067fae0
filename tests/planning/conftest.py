"""Small shops to plan for."""

import pytest
from tests.planning.saws import make_saw

from kerfsmith.catalog.saw import SawSheet


@pytest.fixture
def saw() -> SawSheet:
    return make_saw()
