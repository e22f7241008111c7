"""What a pack is made of: differences of the other options, beside the audit's figures."""

import pytest

from tests.packed_help import packed


@pytest.mark.parametrize(("want", "more"), [("cheapest", (209_20, -8_440)), ("lightest", (-209_20, 8_440))])
def test_the_other_option_is_told_by_how_much_more_it_costs_and_weighs(want: str, more: tuple[int, int]) -> None:
    """3319.21 and 52.786 kg the cheapest, 3528.62 and 44.394 kg the lightest."""
    (line,) = packed("tiny-trailer", want).quotation.options

    assert (line.cents, line.grams) == more
    assert line.name == {"cheapest": "option 2", "lightest": "option 1"}[want]
