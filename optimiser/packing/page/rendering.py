"""The page as HTML: what stands where, from what was made of the build. Every figure is the audit's."""

import json
import re
from base64 import b64encode
from collections.abc import Iterable, Iterator, Sequence
from gzip import compress
from html import unescape
from importlib.resources import files
from typing import Any

from jinja2 import Environment, StrictUndefined
from markupsafe import Markup

from optimiser.auditing import Finding, breaches
from optimiser.cautions import CAUTIONS
from optimiser.checking import oddities
from optimiser.drawing import PAPERS, Sheet, to_svg
from optimiser.drawing.templates import HONEST, UNSCALED, Template
from optimiser.packing.dossier import Dossier
from optimiser.packing.options import Option
from optimiser.packing.page.chart import chart
from optimiser.packing.page.checks import groups, readings
from optimiser.packing.page.customer import currency_told, lasting, loads, offers, paper_words, tiles
from optimiser.packing.page.work import order_of_work
from optimiser.pipeline import Comparison
from optimiser.plots import Plot
from optimiser.printing.comparing import state_words
from optimiser.printing.findings import figures as in_figures
from optimiser.printing.wording import kg, money
from optimiser.requirements import REGISTER
from optimiser.schedules import TOLD, Schedule, not_in_the_build
from optimiser.units import CENTS, GRAMS

PARTS = ("page.html.j2", "style.css", "choose.js", "narrow.js", "print.js")
ALONE = "Only this build was asked for; other options were not looked for."
SCRIPTED = (
    "Picking a point, or an option in the list, shows that build below; a point of several options that are nearly "
    "alike shows the next of them each time."
)

_LONG = 45  # letters in a cell: a column that holds as many is no narrower than a line one can read

_WRITTEN = re.compile(r"<text[^>]*>([^<]*)</text>")
_SENTENCES = re.compile(r"(?<=[.]) (?=[A-Z0-9])")


def page(made: Dossier, found: Comparison | None) -> str:
    """The page of a dossier; ``found``: the comparison its options are of, for what may be said of them."""
    here = files("optimiser.packing.page")
    template, style, script, narrow, printing = (here.joinpath(name).read_text(encoding="utf-8") for name in PARTS)
    known = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True)
    known.filters["long"] = _long
    currency, own = made.fit.case.brief.currency, next(option for option in made.options if option.chosen)
    shared, shown = offers(made)
    months = next(plot for plot in made.plots if plot.key == "months")
    return known.from_string(template).render(
        title=made.fit.case.brief.title,
        version=made.version.text,
        status=_status(made),
        style=Markup(style.replace("{{ foot }}", " ".join([*CAUTIONS, made.version.text]))),
        script=Markup(script),
        narrow=Markup(narrow),
        printing=Markup(printing),
        large=sum(sheet.paper == "large" for sheet in made.sheets),
        cautions_=CAUTIONS,
        pages=list(_pages(made)),
        tiles=tiles(made.fit, made.findings, own.worth, made.quotation),
        currency_told=currency_told(currency),
        loads=loads(made.fit.case),
        lasting=lasting(made.fit, made.findings),
        months=_plot(months),
        others=[_plot(plot) for plot in made.plots if plot is not months],
        options=shown,
        own=next(offer for offer in shown if offer["chosen"]),
        option_rows=[_option_row(option, made.options, currency) for option in made.options],
        options_words=ALONE if found is None else f"{state_words(found)}.".capitalize(),
        scripted=SCRIPTED,
        chart=Markup(chart(made.options, currency)),
        work=order_of_work(made.fit),
        missing=not_in_the_build(made.fit),
        odd=[f"{oddity.place}: {oddity.text}" for oddity in oddities(made.fit.case, made.fit.catalogue)],
        drawings=[_drawing(sheet) for sheet in made.sheets],
        templates=[_template(template) for template in made.templates],
        unscaled=UNSCALED,
        honest=HONEST,
        schedules=[_schedule(schedule) for schedule in made.schedules],
        quotation=made.quotation,
        prices=[(price.name, f"{price.cents / CENTS:.2f}") for price in made.quotation.prices],
        others_priced=[
            (o.name, f"{o.cents / CENTS:+.2f}", f"{o.grams / GRAMS:+.3f}", o.line) for o in made.quotation.options
        ],
        checks=list(groups(made.checks)),
        report=readings(made.report) if made.report else None,
        findings=[_finding(finding) for finding in made.findings if not _met(finding)],
        met=list(_each_met(made.findings)),
        told=f"{TOLD[0].upper()}{TOLD[1:]}",
        rules_name=made.fit.case.rules.name,
        rules=[(n, f"{f.value:g}", f.unit, f.state, f.source) for n, f in made.fit.case.rules.figures.items()],
        options_data=_data(shown),
        drawings_data=_small(shared),
    )


def _long(rows: Iterable[Sequence[str]]) -> set[int]:
    """Columns of a table that hold remarks and the like."""
    return {place for row in rows for place, cell in enumerate(row) if len(cell) > _LONG}


def _data(content: Any) -> Markup:
    """JSON that cannot end the script element it stands in."""
    return Markup(json.dumps(content, ensure_ascii=False).replace("<", "\\u003c"))


def _small(content: Any) -> str:
    """JSON as gzip in base64: drawings of options are most of a page, and mostly alike."""
    packed = compress(json.dumps(content, ensure_ascii=False).encode(), mtime=0)
    return b64encode(packed).decode()


def _status(made: Dossier) -> str:
    """What may be said of the build: what this run proved, else what its file says, as no more than that."""
    broken = len(breaches(made.findings))
    held = f"{broken} are NOT met" if broken else "all are met"
    checked = f"{len(made.findings)} requirements checked, {held}."
    if made.proven:
        return f"Proven {made.proven}; {checked}"
    if made.claimed:
        return f"Its file says that it was proven {made.claimed}; that is not proven again here. {checked}"
    why = f": {'; '.join(made.doubts)}" if made.doubts else ""
    return f"Whether it is the best is not known{why}. {checked}"


def _pages(made: Dossier) -> Iterator[tuple[str, list[tuple[str, str]]]]:
    """Links by who looks for them, each with its words."""
    vehicle = f"{made.fit.case.brief.title}: "  # the page says it above all links
    yield "For the customer", [("customer", "customer"), ("options", "options"), ("quotation", "quotation")]
    work = [("work", "order of work"), ("plots", "plots")]
    yield "For the work", [*work, *([("templates", "templates")] if made.templates else [])]
    yield "Drawings", [(f"drawing-{sheet.key}", sheet.title.removeprefix(vehicle)) for sheet in made.sheets]
    yield "Lists", [(f"schedule-{schedule.key}", schedule.title) for schedule in made.schedules]
    report = [("report", "readings")] if made.report else []
    checked = [("findings", "what was checked"), ("sources", "sources")]
    yield "Tests and limits", [("checks", "test sheet"), *report, *checked]


def _plot(plot: Plot) -> dict[str, Any]:
    """A plot, and of what it tells in words only what is not written in the picture already."""
    written = " ".join(" ".join(unescape(line) for line in _WRITTEN.findall(plot.svg)).split())
    beside = [sentence for sentence in _SENTENCES.split(plot.told) if sentence not in written]
    return {
        "title": plot.title,
        "svg": Markup(plot.svg),
        "beside": " ".join(beside),
        "headers": plot.headers,
        "rows": plot.rows,
    }


def _option_row(option: Option, others: Iterable[Option], currency: str) -> tuple[str, ...]:
    known = "proven" if option.proven else _beaten(option, others) if option.chosen else "best found"
    return str(option.number), money(option.worth.cents, currency), kg(option.worth.grams), known, option.line


def _beaten(option: Option, others: Iterable[Option]) -> str:
    """Whether an option here is no worse than the pack's own build in both measures, which ends any doubt."""
    for other in others:
        its, own = other.worth, option.worth
        if its != own and its.cents <= own.cents and its.grams <= own.grams:
            return f"not of the front: option {other.number} is no worse in both"
    return "not known"


def _drawing(sheet: Sheet) -> dict[str, Any]:
    paper = sheet.paper
    scale = f"1:{sheet.scale:g} when printed at 100 % on {PAPERS[paper].name}." if sheet.to_scale else "Not to scale."
    if not sheet.fits:
        scale = f"Larger than {PAPERS[paper].name} at 1:{sheet.scale:g}, and smaller than that when printed from here: "
        scale += "print the SVG on a plotter, or take the DXF."
    return {
        "key": sheet.key,
        "title": sheet.title,
        "paper": paper_words(sheet),
        "fits": sheet.fits,
        "svg": Markup(to_svg(sheet)),
        "words": scale,
    }


def _template(template: Template) -> dict[str, Any]:
    board, pages = template.board, template.tiles
    marked = [str(tile.number) for tile in pages if template.marks(tile)]
    return {
        "key": template.key,
        "place": board.place,
        "size": f"{board.length_mm} x {board.width_mm}",
        "pages": f"{len(pages)} of {PAPERS[pages[0].leaf.lie].name}",
        "lie": f"{pages[0].rows} x {pages[0].columns}",
        "marked": ", ".join(marked) if len(marked) < len(pages) else "all",
    }


def _schedule(schedule: Schedule) -> dict[str, Any]:
    return {
        "key": schedule.key,
        "title": schedule.title,
        "headers": schedule.headers,
        "rows": [schedule.shown(row) for row in schedule.rows],
        "total": schedule.shown(schedule.totals) if schedule.totals else None,
        "numeric": [place for place, column in enumerate(schedule.columns) if column.kind != "text"],
        "notes": schedule.notes,
    }


def _met(finding: Finding) -> bool:
    """Whether it is a mere yes: there is no figure to read, and nothing to mend."""
    return finding.ok and REGISTER[finding.name].yes_no


def _each_met(findings: Iterable[Finding]) -> Iterator[tuple[str, str, str, str]]:
    """What is a mere yes: a row for each requirement, with all its places."""
    found: dict[str, list[Finding]] = {}
    for finding in filter(_met, findings):
        found.setdefault(finding.name, []).append(finding)
    for name, ours in found.items():
        places = ", ".join(finding.place for finding in ours if finding.place)
        yield name, str(len(ours)), places, ours[0].sentence + ("; the others likewise" if len(ours) > 1 else "")


def _finding(finding: Finding) -> tuple[str, ...]:
    verdict = "pass" if finding.ok else "BREACH"
    return finding.requirement, finding.unit, *in_figures(finding), verdict, finding.sentence
