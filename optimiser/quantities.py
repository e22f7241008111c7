"""What numbers of a case and a catalogue may be, each with a lower and an upper end.

The ends are wide of anything in a vehicle a person drives (common practice, no source): they stop slips of the pen
and nonsense, and keep every sum within what the model calculates with. What is odd but thinkable passes here.
"""

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

Voltage = Literal[12, 24, 48]
YEAR_MONTH = "year-month"  # format of a text, in schemas


def words(value: object) -> object:
    """A cell holding several words becomes a tuple of them, whole numbers as such."""
    if not isinstance(value, str):
        return value
    return tuple(int(word) if word.isdecimal() and len(word) < 10 else word for word in value.split())


Positive = Annotated[float, Field(gt=0, le=100_000)]
NotNegative = Annotated[float, Field(ge=0, le=100_000)]
Percent = Annotated[float, Field(gt=0, le=100)]

Millimetres = Annotated[int, Field(gt=0, le=50_000)]  # no vehicle is longer
Gap = Annotated[int, Field(ge=0, le=50_000)]
Coordinate = Annotated[int, Field(ge=-50_000, le=50_000)]
Room = Annotated[int, Field(ge=0, le=1_000)]  # mm; a cable of 300 mm2 turns in half of that
Stud = Annotated[int, Field(ge=0, le=24)]  # mm; its thread
Bore = Annotated[int, Field(ge=5, le=1_000)]  # mm; thinner holes pass no cable with its sheath
Voltages = Annotated[tuple[Voltage, ...], BeforeValidator(words), Field(min_length=1)]

Price = Annotated[float, Field(ge=0, le=10_000_000)]  # some currencies count in ten thousands
Wage = Annotated[float, Field(gt=0, le=1_000_000)]  # an hour
Budget = Annotated[float, Field(gt=0, le=1_000_000_000)]
Minutes = Annotated[float, Field(ge=0, le=6_000)]  # to fit one part, or a metre of it

PartMass = Annotated[float, Field(ge=0, le=500)]  # kg
Mass = Annotated[float, Field(gt=0, le=20_000)]  # kg on an axle, a roof, a floor
NoMass = Annotated[float, Field(ge=0, le=20_000)]

Watts = Annotated[float, Field(gt=0, le=30_000)]
NoWatts = Annotated[float, Field(ge=0, le=30_000)]
Idle = Annotated[float, Field(ge=0, le=500)]  # W
Amperes = Annotated[float, Field(gt=0, le=5_000)]
NoAmperes = Annotated[float, Field(ge=0, le=5_000)]
Volts = Annotated[float, Field(gt=0, le=1_000)]
NoVolts = Annotated[float, Field(ge=0, le=1_000)]
Capacity = Annotated[float, Field(gt=0, le=5_000)]  # Ah
NoCapacity = Annotated[float, Field(ge=0, le=5_000)]
Milliohms = Annotated[float, Field(gt=0, le=1_000)]
NoMilliohms = Annotated[float, Field(ge=0, le=1_000)]
Efficiency = Annotated[float, Field(ge=50, le=100)]  # %

Section = Annotated[float, Field(ge=0, le=300)]  # mm2 of one conductor
Outside = Annotated[float, Field(gt=0, le=100)]  # mm over the sheath
Celsius = Annotated[float, Field(ge=-50, le=70)]  # of air
Kelvin = Annotated[float, Field(ge=0, le=60)]  # of a bay above outside air

Area = Annotated[float, Field(ge=0, le=20_000)]  # cm2
Flow = Annotated[float, Field(ge=0, le=2_000)]  # m3/h

InSeries = Annotated[int, Field(ge=1, le=16)]  # or side by side: more modules make no bank in a vehicle
Count = Annotated[int, Field(ge=1, le=100)]  # channels, studs, circuits, cables
Hour = Annotated[int, Field(ge=0, le=24)]
YearMonth = Annotated[  # written so, earlier ones come first in the order of letters
    str, Field(pattern=r"^(19|20)[0-9]{2}-(0[1-9]|1[0-2])$", json_schema_extra={"format": YEAR_MONTH})
]
