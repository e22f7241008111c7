"""How the bank's own current is read: by the shunt in its negative, where the build has one."""

from optimiser.fitted.channels import channels
from optimiser.fitted.fit import Fit

NO_MONITOR = "by a monitor of the bank (none is in the build)"


def monitor_of(fit: Fit) -> str:
    """Which channel shows it, in words; empty where none does."""
    for channel in channels(fit):
        if channel.current and channel.current.run == "main":
            return f"by channel A{channel.number}, {channel.shunt.name} in the bank's negative"
    return ""
