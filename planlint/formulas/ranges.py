"""How far an argument of a formula may go, and what is said of one that goes further."""

from dataclasses import dataclass

from planlint.units import at_least, at_most


@dataclass(frozen=True, slots=True)
class Range:
    """From where to where an argument may go, both ends included, in the unit that people say it in."""

    least: float
    most: float
    unit: str = ""
    factor: float = 1.0
    zero: float = 0.0
    """One `unit` is `factor` in SI; `zero` is what its zero is in SI."""

    def admit(self, **arguments: float) -> None:
        """Raises ValueError for the first of the arguments that lies outside, or is not a number."""
        for name, si in arguments.items():
            value = (si - self.zero) / self.factor
            if not (at_least(value, self.least) and at_most(value, self.most)):
                ends = f"from {self.least:,.12g} to {self.most:,.12g} {self.unit}".rstrip()
                raise ValueError(f"{name} is {f'{value:,.12g} {self.unit}'.rstrip()}, and has to be {ends}")
