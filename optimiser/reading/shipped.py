"""Where the catalogue and the cases that come with the program are."""

from importlib.resources import files
from pathlib import Path


def shipped_catalogue() -> Path:
    """The catalogue that comes with the program."""
    return _shipped("catalogue")


def shipped_cases() -> Path:
    """The folder of cases that come with the program."""
    return _shipped("cases")


def _shipped(name: str) -> Path:
    """Inside the package when installed from a wheel, beside it in a source checkout."""
    package = Path(str(files("optimiser")))
    for place in (package / f"_{name}", package.parent / name):
        if place.is_dir():
            return place
    raise FileNotFoundError(f"{name}: neither in {package} nor beside it; the installation is not whole")
