"""The customer's page: few figures, none better than the audit's, what is left out told beside the price."""

from dataclasses import replace
from math import inf

import pytest
from markupsafe import escape

from optimiser.auditing import Finding
from optimiser.auditing.finding import checked
from optimiser.basis.loads import too_much_together
from optimiser.case import Case
from optimiser.fitted import Fit, cost_and_mass
from optimiser.packing.page import page
from optimiser.packing.page.customer import currency_told, days, rounded_up_kg, tiles
from optimiser.printing.wording import kg, money
from optimiser.schedules import quotation
from optimiser.units import GRAMS
from tests.handmade import world
from tests.packed_help import packed, page_of, read_page
from tests.packing_help import SLOW_BUT_ONE, findings, shipped
from tests.parsed import parsed


@pytest.fixture(params=SLOW_BUT_ONE)
def name(request: pytest.FixtureRequest) -> str:
    """Each shipped case that has a build."""
    return str(request.param)


def _told(name: str, section: str = "customer") -> str:
    return " ".join(read_page(name).sections[section].split())


def _shown(fit: Fit, found: tuple[Finding, ...]) -> dict[str, str]:
    its = cost_and_mass(fit.case, fit.catalogue, fit.build)
    return {tile.name: tile.figure for tile in tiles(fit, found, its, quotation(fit, found, version=""))}


def test_days_without_sun_and_lowest_charge_are_told_with_the_audits_figures(name: str) -> None:
    fit, told = shipped(name), _told(name)
    found = {finding.requirement: finding for finding in findings(name)}

    for scenario in fit.case.scenarios:
        limit, lowest = found[f"energy.floor[{scenario.name}]"].numbers
        words = scenario.name.replace("_", " ")
        assert f"{words}: begins at {scenario.start_pct:g} % of the battery; at the" in told
        assert f"lowest hour {lowest} % is left, and it may never be below {limit} %" in told
    assert f"lasts {days(found['energy.autonomy'])} days" in told


def test_the_customer_is_told_what_the_inverter_gives_in_the_heat_and_what_lies_on_the_roof() -> None:
    """Rated 2000 W, but less in a hot bay; the folding panel is the customer's own and not on the roof."""
    fit, page = shipped("grey-month-van"), _told("grey-month-van")
    found = {finding.requirement: finding for finding in findings("grey-month-van")}
    assert fit.inverter and found["inverter.power"].actual < fit.inverter.watt_25c_w

    assert f"{found['inverter.power'].numbers[1]} W" in page
    on_roof = sum(fit.catalogue.of("panels")[panel.panel].watt_w for panel in fit.build.panels)
    assert f"{on_roof:g} W" in page
    assert "Only on hook-up: heating rod." in page


def test_loads_that_would_trip_the_inverter_together_are_named() -> None:
    """Hob 1300 W at 18 h, kettle 900 W at 7 h: the brief never has them on together, and nothing keeps them apart."""
    page = _told("grey-month-van")
    gives = next(f for f in findings("grey-month-van") if f.requirement == "inverter.power").numbers[1]
    assert 1300 < float(gives) < 1300 + 900

    assert f"inverter gives {gives} W on a hot day: not induction hob with kettle (2200 W) at the same time" in page
    assert "heating rod with" not in page  # it is on hook-up only


@pytest.mark.parametrize(("most_w", "named"), [(1500, []), (1499, [("kettle", "iron")])])
def test_two_loads_of_just_what_the_inverter_gives_may_be_on_together(most_w: float, named: list[object]) -> None:
    """600 and 900 W."""
    case = _with_iron("all")

    assert [(one.name, other.name) for one, other in too_much_together(case, most_w)] == named


def test_loads_of_different_scenarios_are_not_together() -> None:
    case = _with_iron("elsewhere")
    (scenario,) = case.scenarios
    both = (scenario, scenario.model_copy(update={"name": "elsewhere"}))
    loads_apart = tuple(
        load.model_copy(update={"scenarios": (scenario.name,)}) if load.name == "kettle" else load
        for load in case.loads
    )

    assert too_much_together(replace(case, loads=loads_apart, scenarios=both), 1499) == []


def _with_iron(scenario: str) -> Case:
    case = world().case
    (kettle,) = (load for load in case.loads if load.name == "kettle")
    new = {"name": "iron", "watt_w": 900, "from_h": 10, "to_h": 11, "scenarios": (scenario,)}
    return replace(case, loads=(*case.loads, kettle.model_copy(update=new)))


def test_the_price_says_how_much_is_left_out_and_where_that_is_listed(name: str) -> None:
    fit, quoted = shipped(name), packed(name).quotation
    price = money(cost_and_mass(fit.case, fit.catalogue, fit.build).cents, fit.case.brief.currency)

    told, listed = _told(name), _told(name, "quotation")

    beside = f"{len(quoted.exclusions)} things are not in it: the list “Not included” of the quotation."
    assert f"price, labour included{price}{beside}" in told
    assert "Not included" in listed and all(line in listed for line in quoted.exclusions)
    assert page_of(name).count('id="not-included"') == 1


@pytest.mark.parametrize("word", ["cu", "coins"])
def test_a_word_that_is_no_currency_is_told_as_the_cases_own(word: str) -> None:
    made = packed("tiny-trailer")
    brief = made.fit.case.brief.model_copy(update={"currency": word})
    own = parsed(page(replace(made, fit=replace(made.fit, case=replace(made.fit.case, brief=brief))), None))

    for section in ("customer", "quotation"):
        assert f"“{word}” is the word of this case" in own.sections[section]


@pytest.mark.parametrize("word", ["CHF", "€"])
def test_a_currency_that_is_one_needs_no_word(word: str) -> None:
    """Codes as ISO 4217 writes them; signs as Unicode classes them."""
    assert currency_told(word) == ""


def test_the_mass_is_told_to_a_tenth_and_never_less_than_it_is(name: str) -> None:
    fit = shipped(name)
    grams = cost_and_mass(fit.case, fit.catalogue, fit.build).grams

    assert f"mass added{rounded_up_kg(grams)} kg" in _told(name)
    assert 0 <= float(rounded_up_kg(grams)) - grams / GRAMS < 0.1
    assert kg(grams) in _told(name, "options")  # the workshop has it whole
    assert [rounded_up_kg(one) for one in (100, 101, 199, 1000)] == ["0.1", "0.2", "0.2", "1.0"]


def test_the_days_without_sun_of_the_tile_are_those_of_the_text(name: str) -> None:
    found = next(one for one in findings(name) if one.requirement == "energy.autonomy")

    assert f"days without sun{days(found)}" in _told(name)
    assert found.limit <= float(days(found)) <= found.actual


@pytest.mark.parametrize(
    ("actual", "limit", "wanted"),
    [
        (0.9859, 0.75, "0.98"),
        (1.996, 1.5, "1.9"),
        (12.97, 10, "12"),
        (1.547, 1.54, "1.54"),  # two digits would say less than was asked for
        (2.0, 2.0, "2.0"),
        (inf, 1.0, "unlimited"),
    ],
)
def test_days_are_rounded_down_but_not_below_what_was_asked_for(actual: float, limit: float, wanted: str) -> None:
    assert days(_days(actual, limit)) == wanted


def _days(actual: float, limit: float) -> Finding:
    return checked("energy.autonomy", limit=limit, actual=actual)


def test_what_a_plot_says_in_itself_is_not_said_again_below_it(name: str) -> None:
    """Every sentence told of a plot stands there once: in the picture or in the caption."""
    html = page_of(name)

    for plot in packed(name).plots:
        begin = html.index(f'aria-label="Plot: {escape(plot.title)}"')
        figure = html[begin : html.index("</figure>", begin)]
        shown = " ".join(parsed(f'<section id="it">{figure}</section>').sections["it"].split())
        seen = shown.replace(plot.told, "", 1)  # its text alternative is heard, not seen
        assert seen != shown
        for sentence in plot.told.split(". "):
            assert seen.count(sentence) == 1, (plot.key, sentence)
