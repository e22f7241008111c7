"""What a pack is made of: differences of the other options, beside the audit's figures."""

from __future__ import annotations

import pytest

from tests.packed_help import packed


@pytest.mark.parametrize(("want", "more"), [("cheapest", (190_20, -8_320)), ("lightest", (-190_20, 8_320))])
def test_the_other_option_is_told_by_how_much_more_it_costs_and_weighs(want: str, more: tuple[int, int]) -> None:
    """3133.63 and 48.750 kg the cheapest, 3323.83 and 40.430 kg the lightest."""
    (line,) = packed("tiny-trailer", want).quotation.options

    assert (line.cents, line.grams) == more
    assert line.name == {"cheapest": "option 2", "lightest": "option 1"}[want]
