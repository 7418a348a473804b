"""A client of the page, and its sheets drawn once."""

from __future__ import annotations

from typing import Any

import pytest
from werkzeug.test import Client

from marking.drawing.primitives import Document
from marking.outputs import Output
from turnband.page import application

DRAWN: dict[tuple[str, str, str], Document] = {}


@pytest.fixture(scope="session")
def client() -> Client:
    return Client(application(("bench.example",), printers=True))


@pytest.fixture(autouse=True)
def drawn_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Draw the same plan only once: the page draws it anew at every request, and tests ask for the same sheets."""
    draw = Output.draw

    def kept(output: Output, plan: Any, command: str = "") -> Document:
        if output.name == "set":  # whose pages are drawn when they are asked for
            return draw(output, plan, command)
        asked = output.name, repr(plan), command
        if asked not in DRAWN:
            DRAWN[asked] = draw(output, plan, command)
        return DRAWN[asked]

    monkeypatch.setattr(Output, "draw", kept)
