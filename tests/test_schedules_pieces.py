"""The cutting list: every piece from terminal to terminal, as long as it is drawn, and together what is bought."""

import re
from itertools import pairwise

import pytest

from optimiser.basis import money
from optimiser.fitted import Fit
from optimiser.fitted.cores import ends_to_make
from optimiser.fitted.drawn import drawn_mm, pieces_of
from optimiser.fitted.links import links_of
from optimiser.fitted.wiring import routed_runs
from optimiser.schedules.labels import labels
from optimiser.schedules.materials import materials
from optimiser.schedules.pieces import cuts, pieces
from tests.asking import cut_to, world
from tests.edges import OFF_TERMINAL
from tests.packing_help import shipped
from tests.schedules_help import every_build, fit_made, number, rows_of, total


def which(mark: str) -> str:
    """Pole and number of a piece."""
    return re.sub("R[0-9]+", "", mark)


def by_hand(run: str, *changes: tuple[str, object]) -> list[tuple[str, str, str, int]]:
    """Mark, from, to and as drawn, of the pieces of a run of the world by hand."""
    rows = rows_of(pieces(fit_made(world(*changes))))
    return [
        (str(r["piece"]), str(r["from"]), str(r["to"]), int(number(r["as drawn"]))) for r in rows if r["run"] == run
    ]


def test_a_core_is_cut_at_its_fuse_and_the_other_at_its_shunt() -> None:
    """Charger (500..600, 200..300), fuse row (50..200, 350..410), shunt row (250..450, 350..450), busbar (50..150,
    50..150)."""
    found = by_hand("mains_charger")
    ends = [(start, end, mm) for _, start, end, mm in found]

    assert [which(mark) for mark, *_ in found] == ["+1", "+2", "-1", "-2"]
    assert ends == [
        ("mains_charger, locker", "fuse_row, 4 of 5, locker", 300 + 50),
        ("fuse_row, 4 of 5, locker", "busbar, locker", 200),
        ("mains_charger, locker", "shunt_row, locker", 50 + 50),
        ("shunt_row, locker", "busbar, locker", 100 + 200),
    ]


def test_the_main_run_is_cut_for_the_isolator_and_for_a_fuse_on_a_board() -> None:
    """Ways of 1000; the fuse on the bank parts nothing, that on the board is 100 from the bank."""
    assert [(which(mark), mm) for mark, *_, mm in by_hand("main")] == [("+1", 1000), ("+2", 50), ("-", 1000)]
    aside = by_hand("main", OFF_TERMINAL)
    assert [(which(mark), mm) for mark, *_, mm in aside] == [("+1", 100), ("+2", 1000), ("+3", 50), ("-", 1000)]


def test_an_array_is_cut_for_its_shunt_and_a_feed_begins_at_its_fuse() -> None:
    assert [(which(mark), mm) for mark, *_, mm in by_hand("solar_a")] == [("+", 2000), ("-1", 2000), ("-2", 150)]
    (plus, minus) = by_hand("alternator_feed")
    assert (plus[1], minus[1]) == ("its fuse at tow_point", "tow connector, tow_point")


def test_what_is_spare_is_shared_out_in_whole_centimetres() -> None:
    """550 of 700 are drawn: all that is spare is for the piece before the fuse, nothing for that to the busbar, which
    the main fuse alone guards. The other core has 400: 150 for each of its two."""
    rows = [row for row in rows_of(pieces(fit_made(cut_to(world(), "mains_charger", 700)))) if row["cut"]]
    ours = [(row["cut"], row["spare"]) for row in rows if row["run"] == "mains_charger"]

    assert ours == [(350 + 150, 150), (200, 0), (100 + 150, 150), (300 + 150, 150)]


def test_what_is_spare_goes_to_a_hole_that_nobody_surveyed() -> None:
    """Cut to ways of 1500 and an allowance of 300: 200 from busbar to fuse row leave 100, 300 to the shunt row none."""
    rows = [row for row in rows_of(pieces(fit_made(world()))) if row["run"] == "dc_loads"]

    assert [row["spare"] for row in rows] == [0, 100, 0, 0]
    told = [str(row["ways in order, or the bay it lies in"]) for row in rows]
    assert ["not surveyed" in text for text in told] == [False, True, False, True]


def test_a_lug_at_the_portable_panels_socket_is_not_one_at_a_gland() -> None:
    rows = [row for row in rows_of(pieces(shipped_van())) if str(row["run"]).startswith("solar_")]
    starts = {str(row["terminal at its start"]) for row in rows if "shunt" not in str(row["from"])}

    assert starts == {"socket of the portable panel", "no lug: joint to the panels' leads"}


def shipped_van() -> Fit:
    """With an array of the customer's own, and one on the roof."""
    return shipped("grey-month-van")


def test_pieces_that_can_hardly_be_made_are_told() -> None:
    """The isolator of the van begins 30 beside its busbar, at 495 against 465 along the panel; 50 more for each end,
    and 20 of the 50 that its core has to spare. Two bends of 111 with 30 of lug each take 282."""
    van = " ".join(pieces(shipped("grey-month-van")).notes)

    assert "short for their bend" in van and "R1+2 (150 mm, least bend radius 111)" in van


@every_build
def test_every_terminal_takes_its_piece(name: str, want: str) -> None:
    """As the list has it: at the shunts that of each channel, one a string."""
    seen = set()
    for row in rows_of(pieces(shipped(name, want))):
        for end in ("start", "end"):
            text = str(row[f"terminal at its {end}"])
            assert text != "shunt_row", row  # no channel is left for it
            for takes in re.findall(r"takes ([\d.]+) mm2", text):
                assert float(takes) >= number(row["section"]), row
                seen.add(text.split()[0])

    assert {"shunt", "busbar,", "fuse_row,"} <= seen


def test_a_core_that_is_cut_too_short_says_so_in_its_list() -> None:
    rows = rows_of(pieces(fit_made(cut_to(world(), "mains_charger", 500))))

    assert [row["spare"] for row in rows if row["run"] == "mains_charger"] == [-50, 0, 50, 50]


@every_build
def test_every_piece_reaches_and_all_together_are_what_is_bought(name: str, want: str) -> None:
    fit = shipped(name, want)
    for laid in routed_runs(fit).values():
        cores = pieces_of(fit, laid)
        assert len(cores) == money.cores(laid.cable)
        for core, steps in zip(cores, laid.core_steps, strict=True):
            assert all(piece.cut_mm >= piece.needed_mm for piece in core), laid.run.name
            assert sum(piece.cut_mm for piece in core) == steps * money.STEP_MM
        assert tuple(sum(piece.needed_mm for piece in core) for core in cores) == drawn_mm(fit, laid)
        assert sum(2 for cut in cuts(fit) if cut.laid is laid) == ends_to_make(fit, laid)
    metres = sum(number(row["length"]) for row in rows_of(materials(fit)) if row["class"] == "cables" and row["length"])
    found = links_of(fit)
    left_mm = found.steps * money.STEP_MM - found.total_mm if found else 0
    assert 0 <= left_mm < money.STEP_MM
    assert number(total(pieces(fit), "cut")) + left_mm == pytest.approx(1000 * metres)


@every_build
def test_a_piece_begins_where_the_one_before_it_ends_and_both_its_ends_are_labelled(name: str, want: str) -> None:
    fit = shipped(name, want)
    found = cuts(fit)
    for one, other in pairwise(found):
        if one.laid is other.laid and one.piece.pole == other.piece.pole:
            assert one.end == other.start
    texts = [str(row["text"]) for row in rows_of(labels(fit)) if row["what"] == "cable"]
    for cut in found:
        assert sum(text.startswith(f"{cut.mark} {cut.laid.run.name}: to ") for text in texts) == 2
