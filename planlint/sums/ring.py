"""The ring of a circuit: the runs that leave the distribution board and come back to it."""

from collections import Counter

from planlint.model.services import SUPPLY, Circuit, Run


def ring_of(circuit: Circuit) -> tuple[Run, ...]:
    """The runs of a ring, without what branches off it.

    None where the circuit is not meant as one, or its runs do not make one ring through the supply.
    """
    if not circuit.is_ring:
        return ()
    runs = [run for run in circuit.runs if run.start_name not in (None, run.end_name) and run.end_name in circuit.fed]
    while True:
        ends = Counter(name for run in runs for name in (run.start_name, run.end_name))
        # What hangs on the rest by one end is a branch, and then what it hung on may be one too.
        kept = [run for run in runs if ends[run.start_name] > 1 and ends[run.end_name] > 1]
        if len(kept) == len(runs):
            break
        runs = kept
    return tuple(runs) if ends[SUPPLY] and set(ends.values()) == {2} else ()
