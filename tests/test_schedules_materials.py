"""A line of the bill by hand: each figure under its own heading."""

from optimiser.schedules.materials import materials
from tests.handmade import world
from tests.knobs import changed
from tests.schedules_help import fit_made, only_row


def test_a_line_of_panels() -> None:
    """Two of 10 with a kit of 25 and sundries of 1, six minutes at 60 an hour each; 0.5 kg and a kit of 0.5 kg."""
    made = changed(world(), "parts.panel-100.mount_price", 25)
    row = only_row(materials(fit_made(made)), "part", "panel-100")

    each = [row[title] for title in ("price each", "mounting kit each", "sundries each", "labour each", "mass each")]
    assert each == [10_00, 25_00, 1_00, 6, 1]
    assert [row[title] for title in ("count", "parts", "sundries", "labour", "total", "mass")] == [
        2, 70_00, 2_00, 12_00, 84_00, 2,
    ]  # fmt: skip


def test_a_line_of_cable() -> None:
    """2.3 m of data cable at 2 and sundries of 0.5 a metre, 0.1 kg each; in steps of 100 mm, which divide evenly."""
    row = only_row(materials(fit_made(world())), "length", 2.3)

    assert [row[title] for title in ("each is a", "price each", "sundries each", "mass each")] == ["m", 2_00, 50, 0.1]
    assert [row[title] for title in ("parts", "sundries", "labour", "total", "mass")] == [4_60, 1_15, 0, 5_75, 0.23]
