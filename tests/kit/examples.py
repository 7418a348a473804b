"""How many examples a property is tried with."""

from __future__ import annotations

from hypothesis import Phase, settings
from hypothesis import strategies as st

USUAL = 100
"""Examples of a property that asks for no number of its own, in the suite."""

ANY = st.characters(exclude_categories=["Cs"])
"""Any characters of a text: what `st.text()` takes, which would look at all of Unicode for seconds to know it."""


def examples(count: int, shrink: bool = True) -> settings:
    """Try `count` examples, ten times as many in a search; `shrink` tells whether one that fails is made smaller.

    That takes minutes where an example is a whole drawing.
    """
    asked = settings().max_examples * count // USUAL
    return settings(max_examples=asked, phases=[phase for phase in Phase if shrink or phase is not Phase.shrink])
