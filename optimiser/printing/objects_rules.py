"""What ``optimiser rules --json`` prints, key by key."""

from typing import Annotated

from pydantic import Field
from typing_extensions import TypedDict

from optimiser.pipeline.rule_sets import Differs
from optimiser.printing.objects_built import Caution
from optimiser.rules import State

Text = str | None


class RuleSetObject(TypedDict):
    """A rule set as a whole; null is what the catalogue does not say."""

    name: Annotated[str, Field(description="that a case names it by")]
    title: Annotated[Text, Field(description="in a few words")]
    region: Annotated[Text, Field(description="where it is for")]
    edition: Annotated[Text, Field(description="what its figures are of, and which edition of that")]
    built_from: Annotated[Text, Field(description="first month of a fit-out that it serves")]
    built_to: Annotated[Text, Field(description="last month")]
    months_source: Annotated[Text, Field(description="of these months")]
    months_state: Annotated[State | None, Field(description="how sure they are")]
    remark: Annotated[Text, Field(description="what else to know before it is used")]
    states: Annotated[dict[str, int], Field(description="how many of its figures are how sure")]


class RuleValueObject(TypedDict):
    """A figure in one rule set."""

    rule_set: Annotated[str, Field(description="its name")]
    value: Annotated[float, Field(description="in the unit of the figure")]
    differs: Annotated[Differs, Field(description="what of it differs from the base's")]
    state: Annotated[State, Field(description="how sure it is")]
    source: Annotated[str, Field(description="where it comes from")]


class RuleFigureObject(TypedDict):
    """A figure in all rule sets that are shown."""

    figure: Annotated[str, Field(description="its name")]
    unit: Annotated[str, Field(description="of its values")]
    says: Annotated[str, Field(description="what it is")]
    values: Annotated[list[RuleValueObject], Field(description="one for each rule set that is shown")]


class RuleSetsObject(TypedDict):
    """``optimiser rules --json``."""

    base: Annotated[str, Field(description="rule set that the others are compared with")]
    rule_sets: Annotated[list[RuleSetObject], Field(description="those that are shown")]
    figures: Annotated[list[RuleFigureObject], Field(description="those that are shown")]
    caution: Caution
