"""Tests; a package, so that they can share reference figures and helpers."""
