"""From the plan to quantities: what is hung where, from which sheet it is cut, and what goes with it."""
