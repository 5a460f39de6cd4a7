"""US Army, FM 5-434, Earthmoving Operations (15 June 2000), table of soil conversion factors; its values are from memory.

The table converts volumes from bank, loose and compacted to one another. From compacted to loose it prints 1.17 for sand, 1.39 for common
earth and 1.59 for clay, from compacted to bank 1.05, 1.11 and 1.11.
"""

import pytest

from jumpcalc.plan.inputs.defaults import filled
from jumpcalc.plan.inputs.site import Wanted
from jumpcalc.plan.studies.sizing.lay import dug

SAND, CLAY = Wanted(bulking=1.11, compaction=0.95), Wanted(bulking=1.43, compaction=0.9)


@pytest.mark.parametrize(("wanted", "bank", "loose"), [(SAND, 1.05, 1.17), (filled(Wanted()), 1.11, 1.39), (CLAY, 1.11, 1.59)])
def test_to_half_the_last_digit(wanted, bank, loose):
    assert dug(wanted, 1.0) == pytest.approx((bank, loose), abs=5e-3)
