"""``python -m optimiser``."""

from optimiser.cli import main

if __name__ == "__main__":
    main(prog_name="optimiser")
