"""How much work a search may do: counted in nodes, so that one input gives one answer; the clock is an outer stop."""

from time import monotonic

__all__ = ["Effort", "Spent"]

NODES_BETWEEN_LOOKS = 512


class Spent(Exception):  # noqa: N818 - no error: the search ends with what it has
    """The work that was allowed is done."""


class Effort:
    """Nodes that may be looked at, and the moment at which all ends."""

    def __init__(self, nodes: int, deadline: float) -> None:
        self.nodes = nodes
        self.deadline = deadline
        self._look = nodes

    @classmethod
    def of_seconds(cls, seconds: float, nodes: int) -> "Effort":
        """Nodes, and seconds from now on."""
        return cls(nodes, monotonic() + seconds)

    def part(self, nodes: int) -> "Effort":
        """Another budget of nodes under the same clock."""
        return Effort(nodes, self.deadline)

    def spend(self, nodes: int = 1) -> None:
        """Counts nodes; raises Spent where none is left, or the time is up."""
        self.nodes -= nodes
        if self.nodes < 0:
            raise Spent
        if self._look - self.nodes >= NODES_BETWEEN_LOOKS:
            self._look = self.nodes
            self.look()

    def look(self) -> None:
        """Raises Spent where the time is up."""
        if monotonic() > self.deadline:
            raise Spent
