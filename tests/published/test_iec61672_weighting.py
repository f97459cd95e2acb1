"""IEC 61672-1 Sound level meters, table of frequency weightings: weighting A (from memory)."""

import numpy as np
import pytest

from exhaust.choices.orders import ear_weight

# nominal frequency [Hz]: weighting A [dB], rounded to a tenth at the exact third of an octave
TABLE = {
    31.5: -39.4, 63: -26.2, 125: -16.1, 250: -8.6, 500: -3.2,
    1000: 0.0, 2000: 1.2, 4000: 1.0, 8000: -1.1,
}  # fmt: skip


@pytest.mark.parametrize("nominal", TABLE)
def test_the_ear_weighs_as_the_table_says(nominal):
    exact = 1000 * 10 ** (round(10 * np.log10(nominal / 1000)) / 10)
    got = 20 * np.log10(ear_weight(np.array([exact])))
    assert got == pytest.approx([TABLE[nominal]], abs=0.06)
