"""The corpus of sentences in `spec_corpus.txt`, shared by tests and benchmark."""

from __future__ import annotations

from pathlib import Path
from typing import NamedTuple

CARET = "‸"


class Sentence(NamedTuple):
    """A spec's text and the marks behind it; `caret` is None for sentences that are read."""

    text: str
    marks: tuple[str, ...]
    caret: int | None

    @property
    def points(self) -> int | None:
        """The points it is read with."""
        named = [mark.split()[1] for mark in self.marks if mark.startswith("points ")]
        return (int(named[0]) or None) if named else 6


def sentences() -> list[Sentence]:
    """Return the whole corpus in order."""
    found = []
    refused = False
    for line in (Path(__file__).parent / "spec_corpus.txt").read_text("utf-8").splitlines():
        if line.startswith("=="):
            refused = "refused" in line
        elif line and not line.startswith("#"):
            text, _, marks = line.partition(" | " if refused else " => ")
            text = text.replace("⏎", "\n")
            caret = text.index(CARET) if refused else None
            parts = tuple(mark.strip() for mark in marks.split("|") if mark.strip())
            found.append(Sentence(text.replace(CARET, ""), parts, caret))
    return found


READ = [sentence for sentence in sentences() if sentence.caret is None]
REFUSED = [sentence for sentence in sentences() if sentence.caret is not None]
