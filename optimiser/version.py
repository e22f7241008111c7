"""The version of the program, as builds carry it."""

VERSION = "0.1.0"
