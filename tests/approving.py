"""Whole pages as somebody has read and approved them: ``python -m tests.approving`` writes them anew.

``tests/approved/`` holds, for a few builds, all that is said and drawn: the page of the job pack, the drawings and what
commands print. A change of any of it is seen there as a difference of git, read and committed with what caused it.
"""

import re
from collections import defaultdict
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from html.parser import HTMLParser
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from click.testing import CliRunner

from optimiser.auditing import audit
from optimiser.builds import Claim, to_json
from optimiser.case import Case, Existing, NodePosition, Outline
from optimiser.catalogue import Catalogue
from optimiser.cli import main
from optimiser.drawing import Sheet
from optimiser.drawing.shapes import Box, Circle, Dimension, Shape, Text
from optimiser.drawing.shapes import Path as Line
from optimiser.explaining import nearest_or_missed, what_decides, why_impossible
from optimiser.packing.dossier import Dossier, dossier
from optimiser.packing.options import options
from optimiser.packing.page import page
from optimiser.pipeline import Answer, Explanation, Inputs, read
from optimiser.pipeline.surveying import sketched
from optimiser.plots import Plot
from optimiser.printing import answer_sheet, explanation_sheet, rendered
from optimiser.reading import read_sketch
from optimiser.solve import Impossible, Solved
from tests.cli_help import write_case, write_catalogue
from tests.commission_help import DAY, checks, filled
from tests.conflicting import Built, heat_and_inverter
from tests.edges import MODULES_FUSED, POWER_OUTSIDE
from tests.explaining import Solving, best_of, names_of, soon
from tests.handmade import World, world
from tests.knobs import altered
from tests.packed_help import packed
from tests.packed_help import page_of as page_of_pack
from tests.packing_help import FOLDER as BUILDS
from tests.worlds import AT_24_V

FOLDER = Path(__file__).parent / "approved"
SHIPPED = ("tiny-trailer", "travelling-clinic")
POSITIONS = (  # the gland in the walkway, the feed below the floor
    ("roof_point", 3300, -630, 2500),
    ("tow_point", 5000, 0, 400),
    ("inlet_point", 1500, 1000, 900),
)
OLD_BOX = Existing(
    name="old_box", kind="part", part="mains-box-2", board="locker.wall", x_mm=650, y_mm=50, length_mm=100,
    width_mm=100, depth_mm=60,
)  # fmt: skip
BY_HAND: dict[str, tuple[tuple[str, Any], ...]] = {  # the trailer made by hand, as it is and changed
    "by-hand": (),
    "odd": (  # much that has to be said of it: cables cut too short, no fuse, no room for a vent or a hole, breaches
        *((f"bays.{bay}.cable_allowance_mm", 100) for bay in ("box", "locker", "nose")),
        *MODULES_FUSED,
        *POWER_OUTSIDE,
        ("arrays.a.series", 1),
        ("arrays.a.parallel", 2),
        ("panels.1.string", "a.2"),
        ("fitted.isolator.x_mm", 850),
        ("runs.mains_charger.fuse", ""),
        ("rules.drop_share", 0.01),
        ("vehicle.axle_max_kg", 910),
        ("limits.budget", 100),
        ("bays.locker.stack_mm", 701),
        ("bays.box.air", "outside"),
        *((f"existing.old_battery.{key}", n) for key, n in (("x_mm", 0), ("y_mm", 0), ("length_mm", 600))),
        ("existing.old_battery.width_mm", 380),
    ),
    "24-volt": (  # on two boards of a bay, with a step-down, all of the roof surveyed, and a part that is there already
        *AT_24_V,
        ("brief.outline", Outline(length_mm=5000, width_mm=2000, floor_mm=500, roof_mm=2500, wheel_mm=600)),
        ("node_positions", tuple(NodePosition(node=node, x_mm=x, y_mm=y, z_mm=z) for node, x, y, z in POSITIONS)),
        ("boards", (*world().case.boards, world().case.board_of["locker.wall"].model_copy(update={"name": "back"}))),
        ("fitted.fuse_row.board", "locker.back"),
        ("ways.inlet_way.carries", "any"),
        ("ways.inlet_way.divided", True),
        ("ways.inlet_way.bore_mm", 60),
        ("brief.dc_panel_point", "inlet_point"),
        ("runs.dc_loads.end", "inlet_point"),
        ("runs.dc_loads.ways", ("inlet_way",)),
        ("ways.loads_way", None),
        ("parts.panel-100.imp_a", 4.17),
        ("parts.mains-box-2.circuits", 5),
        ("vents.locker.count", 2),
        ("bays.locker.cut_out_max_cm2", 1000),
        ("entries.aerial.count", 2),
        ("fitted.mains_box.existing", True),
        ("existing", (*world().case.existing, OLD_BOX)),
        ("build.claim", Claim(status="by hand")),
    ),
}
WIDTH = {"COLUMNS": "110"}
NOON = ("--at", "2027-01-15T12:00", "--sky", "clear")
NAMES = (*SHIPPED, *BY_HAND)
PRINTED = ("tiny-trailer", "by-hand", "odd")  # what commands print differs less
SURVEYED = ("by-hand", "24-volt")


def approved() -> dict[str, Callable[[str], str]]:
    """Each file and what makes it from the name of its build, which is its folder's."""
    found: dict[str, Callable[[str], str]] = {f"{name}/page.txt": page_of for name in NAMES}
    found |= {f"{name}/drawings.txt": drawings for name in NAMES}
    found |= {f"{name}/printed.txt": printed for name in PRINTED}
    found |= {f"{name}/survey.txt": surveyed for name in SURVEYED}
    return found | {"by-hand/solved.txt": solved, "rules/printed.txt": rules_printed}


def made_anew(file: str) -> str:
    """What it should hold now."""
    return masked(approved()[file](file.partition("/")[0]))


# --- what is made ----------------------------------------------------------------------------------------


@cache
def _folder() -> TemporaryDirectory[str]:
    return TemporaryDirectory()


def _by_hand(name: str) -> World:
    return altered(world(), *BY_HAND[name])


@cache
def given(name: str) -> tuple[str, str, str]:
    """Case, catalogue and build as commands are given them; no catalogue is the shipped one."""
    if name in SHIPPED:
        return name, "", str(BUILDS / f"{name}-cheapest.json")
    its, folder = _by_hand(name), Path(_folder().name) / name
    folder.mkdir()
    case = write_case(folder / "handmade", its.case)
    parts = write_catalogue(folder / "parts", its.catalogue, its.case)
    (folder / "build.json").write_text(to_json(its.build), encoding="utf-8")
    return str(case), str(parts), str(folder / "build.json")


@cache
def made(name: str) -> Dossier:
    """All of the build's pack, before it is files."""
    if name in SHIPPED:
        return packed(name)
    case, parts, _ = given(name)
    inputs = read(case, [parts])
    return dossier(inputs, options(inputs, _by_hand(name).build, None, {}))


def page_of(name: str) -> str:
    """The page of its pack."""
    return text_of(page_of_pack(name) if name in SHIPPED else page(made(name), None))


def drawings(name: str) -> str:
    """Its drawings and plots."""
    return "\n".join([*map(drawn, made(name).sheets), *map(plotted, made(name).plots)])


def printed(name: str) -> str:
    """What commands say of case and build."""
    case, parts, build = given(name)
    beside = ["--catalogue", parts] if parts else []
    commands = [["check", case], ["audit", case, build], ["expect", case, build, *NOON]]
    if name == "by-hand":
        commands.append(["commission", case, build, str(_readings())])
    found = []
    for command in commands:
        run = CliRunner(env=WIDTH).invoke(main, [*command, *beside])
        found += [f"$ optimiser {command[0]}", run.stdout, run.stderr, f"exit code {run.exit_code}\n"]
    return "\n".join(line for line in found if line)


def rules_printed(_: str) -> str:
    """Rule sets side by side, and one of them in full."""
    found = []
    for command in (["rules"], ["rules", "--differs"], ["rules", "au-nz"]):
        run = CliRunner(env=WIDTH).invoke(main, command)
        found += [f"$ optimiser {' '.join(command)}", run.stdout, run.stderr, f"exit code {run.exit_code}\n"]
    return "\n".join(line for line in found if line)


def surveyed(name: str) -> str:
    """The survey drawn before anything is solved, and what is wrong or odd in it."""
    case, parts, _ = given(name)
    sheets, marks = sketched(read_sketch(Path(case), Path(parts)))
    return "\n".join([*marks.lines(), *map(drawn, sheets)])


def solved(_: str) -> str:
    """What `build` and `explain` print: of the world by hand, and of one too hot for its inverter, without any build.

    One search answers a question, so that what is found is the same each time.
    """
    possible, hot = world(), heat_and_inverter()
    best = best_of(possible.case, possible.catalogue, "cheapest")
    build = replace(possible.build, claim=replace(possible.build.claim, seed=1, workers=1))
    findings = audit(possible.case, possible.catalogue, build)
    answer = Answer("cheapest", Solved(build, 72_175, 20_510, 1.5), build, findings)
    impossible = Answer("cheapest", Impossible(1.5, "by its rows"), None, ())

    def asked(of: World | Built) -> tuple[Case, Catalogue, tuple[str, ...]]:
        return of.case, of.catalogue, names_of(of.case, of.catalogue)

    why = why_impossible(*asked(hot), Solving(), soon())
    deciding = what_decides(*asked(possible), "cheapest", best, Solving(), soon(), margin=100)
    its, hots = (Inputs(Path("by-hand"), of.case, of.catalogue) for of in (possible, hot))
    sheets = {
        "build": answer_sheet(its, answer),
        "build, impossible": answer_sheet(hots, impossible, nearest_or_missed(*asked(hot), Solving(), soon())),
        "explain": explanation_sheet(its, Explanation("possible", None, (deciding,), seconds=1.5)),
        "explain, impossible": explanation_sheet(
            hots, Explanation("impossible", why, seconds=1.5, confirmed="by its rows")
        ),
    }
    return "\n".join(f"$ optimiser {command}\n{rendered(sheet, 110)}" for command, sheet in sheets.items())


def _readings() -> Path:
    """A test sheet with some of it in band, some out of it, and most not tested."""
    rows = {
        "string.a.1.voc_v": {"measured": "47.5", **DAY},
        "string.a.1.isc_a": {"measured": "4", **DAY},
        "drop.main": {"measured": "300", "current_a": "140"},
        "charge.mains_charger": {"measured": "20"},
        "roof.leaks": {"done": "no"},
        "seen.torque": {"done": "yes"},
    }
    file = Path(_folder().name) / "readings.csv"
    file.write_text(filled(checks(world()), rows), encoding="utf-8")
    return file


def masked(text: str) -> str:
    """Without what differs from machine to machine, or with each figure of case and catalogue: paths and hashes."""
    text = re.sub(r"/\S*/([\w.-]+)", r"…/\1", text)
    return re.sub(r"\b[0-9a-f]{12}\b", "############", text)


# --- the page as text ------------------------------------------------------------------------------------


class _Words(HTMLParser):
    """Text of a page: a line a block, cells of a table with bars between them; pictures are left out."""

    _LINES = ("p", "li", "h1", "h2", "h3", "tr", "caption", "figcaption", "summary", "dt", "dd", "label", "legend")
    _UNSEEN = ("style", "script", "svg", "nav", "title", "details")

    def __init__(self) -> None:
        super().__init__()
        self.lines, self.unseen = [""], 0

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.unseen += tag in self._UNSEEN
        if tag == "section":
            self.lines += ["", f"=== {dict(attrs)['id']} ==="]
        if tag in self._LINES and not self.unseen:
            self.lines.append({"li": "* ", "tr": "| "}.get(tag, ""))

    def handle_endtag(self, tag: str) -> None:
        self.unseen -= tag in self._UNSEEN
        if tag in ("td", "th"):
            self.lines[-1] += " | "

    def handle_data(self, data: str) -> None:
        if not self.unseen and data.strip():
            self.lines[-1] += " ".join(f"<{data}>".split())[1:-1]


def text_of(html: str) -> str:
    """The page as lines."""
    reader = _Words()
    reader.feed(html)
    reader.close()
    return "\n".join(line.rstrip() for line in reader.lines) + "\n"


# --- drawings as text ------------------------------------------------------------------------------------


def drawn(sheet: Sheet) -> str:
    """What is written on a drawing, the lengths it tells, and what each layer has and covers, in mm of the drawing."""
    layers: dict[str, list[Box]] = defaultdict(list)
    told = defaultdict(list)
    for shape in sheet.shapes:
        if isinstance(shape, Dimension):
            told[f"along {shape.along}"].append(f"{shape.start[shape.along == 'y']:.0f}+{shape.text.text}")
        elif isinstance(shape, Text):
            told["text"].append(shape.text)
        else:
            layers[f"{shape.layer} {shape.dash} {shape.fill}"].append(_around(shape))
    lines = [f"=== {sheet.key}: {sheet.title}, 1:{sheet.scale:g} ===", *told.pop("text", [])]
    if sheet.frame:
        lines.append(f"frame: {' | '.join(one.text for one in sheet.frame.on_paper if isinstance(one, Text))}")
    lines += [f"{way}: {', '.join(sorted(words))}" for way, words in sorted(told.items())]
    for layer, boxes in sorted(layers.items()):
        lines.append(f"{layer}: {len(boxes)} in {_corners(Box.around(boxes))}")
    return "\n".join(lines) + "\n"


def plotted(plot: Plot) -> str:
    """What is written in a plot."""
    words = re.findall(r"<text[^>]*>([^<]+)</text>", plot.svg)
    return f"=== plot {plot.key}: {plot.title} ===\n{' | '.join(words)}\n"


def _around(shape: Shape) -> Box:
    if isinstance(shape, Circle):
        return Box(*shape.centre, *shape.centre).grown(shape.radius)
    assert isinstance(shape, Line)
    xs, ys = zip(*shape.points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def _corners(box: Box) -> str:
    return f"({box.x0:.0f}, {box.y0:.0f}) to ({box.x1:.0f}, {box.y1:.0f})"


if __name__ == "__main__":
    for file in approved():
        (FOLDER / file).parent.mkdir(parents=True, exist_ok=True)
        (FOLDER / file).write_text(made_anew(file), encoding="utf-8")
