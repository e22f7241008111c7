"""Rule sets: the figures that differ by country, each with its source and how sure that is."""

from dataclasses import dataclass
from functools import cached_property
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter, ValidationError

from optimiser.quantities import YearMonth

State = Literal["read", "second hand", "memory", "common practice"]
"""How sure a figure is: seen at its source, as quoted elsewhere, from memory, or without a source."""
DEFAULT = "default"
"""The rule set that a case is checked by if it names none, and that the others are set beside."""


@dataclass(frozen=True)
class RuleFigure:
    """One figure of a rule set, with where it comes from and how sure that is."""

    value: float
    unit: str
    source: str
    state: State


class Edition(BaseModel):
    """Where a rule set is for, what its figures are of, and when a fit-out is made that it serves."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    rule_set: str = Field(pattern=r"^[a-z0-9][a-z0-9_-]*$", description="of rule_sets.csv")
    title: str = Field(description="in a few words")
    region: str = Field(description="where it is for")
    edition: str = Field(description="what its figures are of, and which edition of that")
    built_from: YearMonth | None = Field(default=None, description="first month of a fit-out that it serves, if known")
    built_to: YearMonth | None = Field(default=None, description="last month, if there is one")
    source: str = Field(default="", description="of these months; needed with them")
    state: State | None = Field(default=None, description="how sure they are, as of a figure; needed with them")
    remark: str = Field(default="", description="what else to know before it is used")

    def serves(self, built: str) -> bool | None:
        """Whether it serves a fit-out made in that month; None where it gives no months."""
        if self.built_from is None and self.built_to is None:
            return None
        return (self.built_from or built) <= built <= (self.built_to or built)

    @property
    def months(self) -> str:
        """In words, when a fit-out is made that it serves; empty where it gives none."""
        ends = (f"from {self.built_from}" if self.built_from else "", f"to {self.built_to}" if self.built_to else "")
        return " ".join(filter(None, ends))


@dataclass(frozen=True)
class RuleSet:
    """The figures that differ by country. They help to check; local codes and licensed practice decide."""

    name: str
    figures: dict[str, RuleFigure]
    edition: Edition | None = None  # not every catalogue says

    def __getitem__(self, figure: str) -> float:
        return self.figures[figure].value


Share = Annotated[float, Field(gt=0, le=1)]
Factor = Annotated[float, Field(ge=1, le=3)]
Distance = Annotated[float, Field(ge=0, le=10_000)]
Conductor = Annotated[float, Field(ge=0.1, le=10)]
Gravities = Annotated[float, Field(ge=1, le=100)]


@dataclass(frozen=True)
class Known:
    """A figure that every rule set has: its unit, the numbers it may be, and what it says."""

    unit: str
    takes: Any
    says: str

    @cached_property
    def adapter(self) -> TypeAdapter[Any]:
        """Checks a value."""
        return TypeAdapter(self.takes)

    def allows(self, value: float) -> bool:
        """Whether the figure may have that value."""
        try:
            self.adapter.validate_python(value)
        except ValidationError:
            return False
        return True


KNOWN: dict[str, Known] = {
    # protection
    "fuse_distance_mm": Known("mm", Distance, "most cable from the bank to its main fuse"),
    "tail_distance_mm": Known("mm", Distance, "most cable from the busbars to the row of fuses"),
    "fuse_over_load": Known("ratio", Factor, "least rating of a fuse for each ampere of load"),
    "fuse_of_ampacity": Known(
        "ratio", Annotated[float, Field(ge=0.5, le=2)], "most of it for each ampere of the cable's rating"
    ),
    "module_fuse_from_ah": Known(
        "Ah", Annotated[float, Field(ge=0, le=100_000)], "of strings in parallel, above it a fuse each"
    ),
    # cables
    "bundle_factor": Known("factor", Share, "of the ampacity that is left in a bundle"),
    "bundle_from_mm": Known("mm", Distance, "length from which cables side by side are a bundle"),
    "end_mm": Known("mm", Distance, "of each end of a piece of cable: in its lug, and round to its terminal"),
    "conductor_c": Known("C", Annotated[float, Field(ge=20, le=250)], "of the copper, for resistance"),
    "terminal_c": Known("C", Annotated[float, Field(ge=40, le=250)], "that terminals may reach"),
    "drop_share": Known("share", Share, "of the voltage that may drop on other runs"),
    "drop_share_inverter": Known("share", Share, "likewise to the inverter"),
    "drop_share_solar": Known("share", Share, "likewise from the panels"),
    "drop_share_feed": Known("share", Share, "likewise from the alternator"),
    "drop_share_mains": Known("share", Share, "likewise on mains runs"),
    "fill_few": Known("share", Share, "of a way's bore that two cables may fill"),
    "fill_many": Known("share", Share, "of a way's bore that more may fill"),
    "main_section_min_mm2": Known("mm2", Conductor, "thinnest conductor for mains"),
    "dc_section_min_mm2": Known("mm2", Conductor, "thinnest conductor for direct current"),
    # panels
    "solar_current_factor": Known("factor", Factor, "of the panels' short-circuit current, for cables"),
    "solar_continuous_factor": Known("factor", Factor, "of that again, for string fuses and uncorrected conductors"),
    "solar_ceiling_v": Known("V", Annotated[float, Field(ge=12, le=1500)], "most voltage on the roof"),
    "regulator_voltage_share": Known("share", Annotated[float, Field(ge=0.5, le=1)], "of a regulator's that is used"),
    "string_fuse_from": Known("strings", Annotated[int, Field(ge=1, le=20)], "in parallel need a fuse each"),
    "shadow_elevation_deg": Known("deg", Annotated[float, Field(ge=5, le=90)], "lowest sun kept free of shadows"),
    # places and charging
    "bank_in_living": Known("yes=1", bool, "a bank may stand in the living space"),
    "hydrogen_gas_ma_per_ah": Known("mA/Ah", Annotated[float, Field(ge=0, le=1000)], "that makes gas in lead-acid"),
    "fan_discharge": Known("factor", Annotated[float, Field(ge=0.05, le=1)], "of a vent's flow"),
    "parallel_share": Known("share", Annotated[float, Field(ge=0.3, le=1)], "of a module's currents, side by side"),
    "alternator_share": Known("share", Share, "of the alternator's rating for charging"),
    # forces on what is fixed, and bends: told, not held
    "road_speed_km_h": Known("km/h", Annotated[float, Field(ge=20, le=250)], "fastest the vehicle is driven"),
    "gust_km_h": Known("km/h", Annotated[float, Field(ge=0, le=250)], "of the wind, against the vehicle's own speed"),
    "roof_suction": Known("factor", Annotated[float, Field(ge=0.5, le=4)], "of the dynamic pressure, over a panel"),
    "fixing_safety": Known(
        "factor", Annotated[float, Field(ge=1, le=20)], "of the strength of fixings over the uplift"
    ),
    "glue_stress_n_mm2": Known("N/mm2", Annotated[float, Field(ge=0.001, le=10)], "that glue is allowed"),
    "restraint_along_g": Known("g", Gravities, "restraint in a crash, forward and rearward"),
    "restraint_across_g": Known("g", Gravities, "restraint in a crash, sideways and upward"),
    "bend_of_outside": Known("factor", Annotated[float, Field(ge=1, le=30)], "of a cable's outside, least radius"),
}
"""Every figure of a rule set. One that is not here is refused where the catalogue is read, and so is one left out."""
