"""What a quantity can be at all, by its kind: outside of it stands a slip of the pen, whatever it is a quantity of."""

from dataclasses import dataclass

from gudgeon_calc.units import Measure, read_quantity


@dataclass(frozen=True)
class Bounds:
    """Least and most that a quantity can be, as people write it. open: the least itself is not one. whole: no parts of one."""

    least: str
    most: str
    open: bool = False
    whole: bool = False

    def fault(self, value: float, kind: str, written: str, what: str = "it") -> str | None:
        """What is wrong with a value of a kind, as it was written; None where it can be."""
        least, most = (float(read_quantity(text, kind)) for text in (self.least, self.most))
        below = value <= least if self.open else value < least
        if below or value > most:
            wanted = f"{'over' if self.open else 'at least'} {self.least} and at most {self.most}"
            return f"{what} cannot be {written}. Expected {wanted}."
        if self.whole and value != round(value):
            return f"it is counted, so {written} cannot be. Expected a whole number."
        return None


# By the kind of quantity: generous, from model engines to the largest that a club could have in its shed (common practice, no
# source). A plain number has no range of its own.
BY_KIND = {
    "length": Bounds("0 mm", "10000 mm", open=True),
    "volume": Bounds("0 L", "1000 L", open=True),
    "speed": Bounds("0 rpm", "20000 rpm", open=True),
    "velocity": Bounds("0 m/s", "300 m/s", open=True),
    "pressure": Bounds("0 MPa", "1000 GPa", open=True),
    "force": Bounds("0 N", "10000 kN"),
    "torque": Bounds("0 N.m", "1000000 N.m", open=True),
    "mass": Bounds("0 kg", "100000 kg", open=True),
    "density": Bounds("10 kg/m³", "25000 kg/m³"),
    "energy": Bounds("0 J", "10000 kJ", open=True),
    "power": Bounds("0 kW", "1000 kW", open=True),
    "angle": Bounds("-360 deg", "360 deg"),
    "temperature": Bounds("-200 °C", "1000 °C"),
    "temperature difference": Bounds("0 K", "1000 K"),
    "time": Bounds("0 min", "10000 days"),
    "drip rate": Bounds("0 drops/min", "10000 drops/min"),
    "ratio": Bounds("1:999999", "10:1"),
}
LARGEST_EXPANSION = 300e-6  # per K: twice that of the plastics that a shop has


def within_kind(measure: Measure) -> Measure:
    """A quantity that somebody could have. Raises ValueError where nobody has one of its kind so large.

    Whether it may be nought, or less, its field says: of a size and of an error in it that is not the same.
    """
    bounds = BY_KIND.get(measure.kind)
    if bounds is None:
        return measure
    what = f"{'an' if measure.kind[0] in 'ae' else 'a'} {measure.kind}"
    if not float(read_quantity(bounds.least, measure.kind)):
        if abs(float(measure)) > float(read_quantity(bounds.most, measure.kind)):
            raise ValueError(f"{what} cannot be {measure}. Expected at most {bounds.most}.")
    elif fault := bounds.fault(float(measure), measure.kind, measure.text, what):
        raise ValueError(fault)
    return measure
