"""Words of the trades that a rule uses, each with what it means to somebody of another trade."""

import re
from collections.abc import Iterator
from typing import Final

TERMS: Final = {
    "RCD": "residual current device, which switches off where current leaks to earth, such as through a person.",
    "TN": "a supply whose earth comes with the mains.",
    "TT": "a supply whose earth is an electrode in the ground of the house itself.",
    "Ib ≤ In ≤ Iz": "what the circuit draws, its breaker, and what its cable may carry for good, in this order.",
    "Ia": "the current at which a breaker trips at once.",
    "IΔn": "the leak at which an RCD trips.",
    "Zs": "the resistance of the whole loop that a fault to earth meets: out through the line, back through the earth.",
    "RA": "the resistance of the earth electrode with its wire.",
    "U0": "the voltage between line and earth.",
    "Cmin": "a factor for the voltage at its lowest.",
    "loop_impedance": "the resistance of the way from the board to the supply and back, measured at the board.",
    "conduit": "the pipe that wires are drawn through.",
    "method": "how a cable lies (A1 to C, by IEC 60364-5-52): in insulation it stays warmer than on masonry.",
    "section": "the area of a wire's copper, seen at its cut end.",
    "first fix": "boxes, conduits and cables, before the walls are closed.",
    "sd": "how well a layer holds vapour back, as the metres of still air that would hold back as much.",
    "vapour_resistance": "μ, how many times better than air a material holds vapour back.",
    "conductivity": "λ, how easily warmth goes through a material: the lower, the better it insulates.",
    "Glaser": "the usual sum of where vapour turns to water in a wall; it leaves out rain and leaks.",
    "condenses": "turns from vapour to water where it meets something cold.",
    "carbide": "a test on site: a crumb of the wall or screed, whose water makes gas with carbide in a closed bottle.",
    "wood-equivalent": "what a meter for wood shows when it is set on masonry.",
    "screed": "the layer under a floor's covering that is poured or spread level.",
    "batten": "the strip of timber that boards are screwed to.",
    "battens": "the strips of timber that boards are screwed to.",
    "reveal": "the side of an opening that shows the wall's thickness, beside a window or door.",
    "bead": "the metal angle that guards an outside corner.",
    "tapered": "of a board's long edge as made: thinner, so that filler and tape lie in the hollow.",
    "grooved": "of a cut edge: bevelled, so that filler gets into the joint.",
    "OSB/3": "boards of strands for rooms that may be humid (EN 300); OSB/2 are for dry rooms alone.",
    "OSB": "boards of pressed strands of wood (EN 300).",
    "sealant.class": "how far a sealant gives, in percent of the joint's width: 12.5 is an eighth.",
    "joist": "a beam that carries a floor or a ceiling.",
    "NIOSH": "a public institute whose equation says how much one person should lift.",
}
"""By the spelling in which rules and plans have them."""
_ANY: Final = re.compile("|".join(rf"(?<!\w){re.escape(term)}(?!\w)" for term in sorted(TERMS, key=len, reverse=True)))


def explained(text: str) -> Iterator[tuple[str, str]]:
    """The words of a text that want an explanation, in order, each once.

    >>> [term for term, _ in explained("The RCD of a circuit; no RCD, no battens")]
    ['RCD', 'battens']
    """
    for term in dict.fromkeys(_ANY.findall(text)):
        yield term, TERMS[term]
