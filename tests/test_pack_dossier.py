"""What a pack is made of: differences of the other options, beside the audit's figures."""

import pytest

from tests.packed_help import packed


@pytest.mark.parametrize(("want", "more"), [("cheapest", (209_91, -8_428)), ("lightest", (-209_91, 8_428))])
def test_the_other_option_is_told_by_how_much_more_it_costs_and_weighs(want: str, more: tuple[int, int]) -> None:
    """3435.44 and 53.130 kg the cheapest, 3645.35 and 44.702 kg the lightest."""
    (line,) = packed("tiny-trailer", want).quotation.options

    assert (line.cents, line.grams) == more
    assert line.name == {"cheapest": "option 2", "lightest": "option 1"}[want]
