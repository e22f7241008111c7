"""The cautions that go with everything that sizes, places or protects."""

CAUTIONS = (
    "Mains, lithium batteries and work on a roof can kill.",
    "This sheet lists what was checked; it is no statement of compliance with any rule or standard.",
    "Local codes and a licensed electrician decide.",
)
"""Printed with every build, audit and drawing, and in the README."""
