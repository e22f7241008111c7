"""What every mains box is held to, and what a part does where neutral and earth are joined."""

from optimiser.parts import Inverter

RESIDUAL_MA = 30.0  # BS 7671 section 721, older edition, as quoted elsewhere
SEES = ("A", "F", "B")  # pulsating direct current of chargers and electronics too, which type AC does not
WIRED_MODULES = 2  # of a circuit that is wired already (common practice, no source)


def takes_link(inverter: Inverter) -> bool:
    """Whether neutral and earth of its circuits are joined by a link in the mains box: of an inverter that does not do
    so itself, and passes no hook-up, on which the link would be a second one."""
    return inverter.bond == "none" and not inverter.transfers
