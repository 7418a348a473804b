"""What becomes of a form: the chain run once, its pages and files in memory, and everything there is to say."""

from __future__ import annotations

import io
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from itertools import groupby, islice
from typing import TYPE_CHECKING, Any, NamedTuple

from marking.errors import MarkingError
from marking.files.formats import FORMATS, check_fields, cut, format_of, writers
from marking.outputs.command_line import LINES, TARGET, command_line

from ..delivery import on_paper, take_asked, then_measure, then_print
from ..set import again, then_of
from . import words
from .forms import linked, query, spoken

if TYPE_CHECKING:
    from marking.drawing.primitives import Document, Page
    from marking.fastening.spec import TighteningSpec
    from marking.lists.items import Fault
    from marking.outputs import Output
    from marking.remarks import Remark

MAX_SHOWN, MAX_INDEX_SHOWN = 8, 2
"""Pages that are shown, and how many of them may be a set's index; the file holds all."""

MAX_WRITTEN = 20
"""Pages of which each may be a file of its own in any format: pictures take seconds."""

SHOWN_AS = ".svg"

PRINT, SAVE, ALL, SAVED = "print.pdf", "sheet.pdf", "sheets.zip", ".pdf"
"""Files that are taken away, and how the one in which all pages are ends."""

NOTHING: Mapping[str, Any] = {}

READING = ("spec", "thread", "points", "witness")
"""The fields that say how a spec is read."""


class Sheet(NamedTuple):
    """A page as it is shown: its number, its SVG, and its number and true size in words."""

    number: int
    svg: bytes
    caption: str


class File(NamedTuple):
    """A finished file."""

    name: str
    content: bytes


@dataclass
class Made:
    """What became of the values of a form: pages, or the error that stands in the way, and how the spec was read."""

    output: Output
    values: Mapping[str, Any]
    spec: TighteningSpec | None = None
    missing: tuple[str, ...] = ()
    error: MarkingError | None = None
    plan: Any = None
    document: Document | None = None
    remarks: tuple[Remark, ...] = ()
    faults: tuple[Fault, ...] = ()
    sheets: list[Sheet] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.own = dict(self.values)
        self.asked = take_asked(self.own)
        """The values that are the output's own, and those that say how its file is written."""

    def check(self) -> None:
        """Raise a MarkingError for what no file can be written as."""
        check_fields(self.asked)

    @property
    def good(self) -> bool:
        """Whether there is something to take away."""
        return self.plan is not None

    @cached_property
    def wrong(self) -> str:
        """What stands in the way."""
        return self.error.message(linked) if self.error else ""

    @cached_property
    def wrong_at(self) -> str:
        """The field of the form at which it stands; "" for none."""
        field = self.error.field if self.error else ""
        return field if field and any(one.name == field for one in self.output.all_fields) else ""

    @cached_property
    def warnings(self) -> tuple[str, ...]:
        """What there is to know, each sentence once."""
        return tuple(dict.fromkeys(remark.said(linked) for remark in self.remarks))

    @cached_property
    def text(self) -> str:
        """The numbers, of an output that tells them."""
        return self.output.text(self.plan) if self.good and self.output.writes != "always" else ""

    @cached_property
    def command(self) -> str:
        """The same in a terminal, as it stands at the foot of every page."""
        return again(self.output.command(**self.own), self.faults)

    @property
    def commands(self) -> str:
        """The same in a terminal, with all that is asked of the file: a line for each format that takes some of it."""
        if not self.asked:
            return self.command
        lines, any_format = [], self.asked.keys() - {name for one in FORMATS.values() for name in one.takes}
        for suffix, one in FORMATS.items():
            own = {name: value for name, value in self.asked.items() if name in any_format or name in one.takes}
            if suffix == SAVED or own.keys() > any_format:
                given = {**self.own, **own}
                line = command_line(self.output.name, self.output.all_fields, given, TARGET.replace(SAVED, suffix))
                lines.append(again(line, self.faults))
        return "\n".join(lines)

    @property
    def before(self) -> list[str]:
        """What has to be done before that: lines that were typed here are a file there."""
        typed = (one.name for one in self.output.fields if one.kind == "lines" and one.name in self.values)
        return [words.LINES_FILE.format(spoken(name), LINES.format(name)) for name in typed]

    @property
    def these_faults(self) -> str:
        """A number that stands for the faults: who prints without them has seen these, and no others."""
        return f"{zlib.crc32(repr(self.faults).encode()):x}"

    @cached_property
    def query(self) -> str:
        """The job as the query of an address."""
        return query(self.output, self.values)

    @cached_property
    def then(self) -> str:
        """What to do with the printed pages."""
        if self.document is None or "pieces" in self.asked:
            return ""
        listed = hasattr(self.plan, "plans")
        return then_print(then_of(self.output, self.plan) if listed else then_measure(self.document, self.output.then))

    @property
    def size(self) -> str:
        """How many pages there are, and of which paper."""
        pages = self.document.pages if self.document else ()
        return on_paper(len(pages), ((page.width_mm, page.height_mm) for page in islice(pages, MAX_SHOWN)))

    @property
    def split(self) -> bool:
        """Whether it is a set of several documents."""
        return list(getattr(self.plan, "plans", {"": None})) != [""]

    @property
    def taken(self) -> list[tuple[str, str, bool]]:
        """What can be taken away: the file's name, what it is called, and whether it opens beside the page."""
        if self.split:
            return [(ALL, words.SAVE_SPLIT, False)]
        names = [suffix[1:] for suffix in self.a_page_each]
        if self.document is not None and len(self.document.pages) > 1:
            more = [(f"sheets-{name}.zip", words.SAVE_ALL.format(name.upper()), False) for name in names]
        else:
            more = [(f"sheet-1.{name}", words.SAVE_PAGE.format(name.upper()), False) for name in names]
        apart = ((name, words.SAVE_APART.format(name), False) for name in self.apart)
        return [(SAVE, words.SAVE_PDF, False), (PRINT, words.PRINT, True), *apart, *more]

    @property
    def apart(self) -> dict[str, Document]:
        """The documents that are files of their own, by name."""
        return dict(self.document.apart) if self.document else {}

    @property
    def a_page_each(self) -> list[str]:
        """The suffixes of the formats with a file for each page; of many pages in those alone that are quick."""
        known = [suffix for suffix, one in FORMATS.items() if one.a_page and one.at_hand]
        few = self.document is not None and len(self.document.pages) <= MAX_WRITTEN
        return known if few else [suffix for suffix in known if suffix == SHOWN_AS]

    @cached_property
    def shown(self) -> str:
        """Which pages are shown, where not all are: "Pages 1, 2, 4–9 of 20"."""
        numbers = [sheet.number for sheet in self.sheets]
        if self.document is None or len(numbers) == len(self.document.pages):
            return ""
        runs = ([number for _, number in run] for _, run in groupby(enumerate(numbers), lambda one: one[1] - one[0]))
        listed = ", ".join(f"{first}–{last[-1]}" if last else f"{first}" for first, *last in runs)
        return words.SHOWN.format(listed, len(self.document.pages))

    @property
    def others(self) -> list[tuple[int, str]]:
        """From which page on earlier and later pages would be shown, and what they are called."""
        if self.document is None or not self.shown:
            return []
        numbers = {sheet.number for sheet in self.sheets}
        first = min(numbers)
        earlier = [(max(1, first - MAX_SHOWN), words.EARLIER)] if first > 1 else []
        later = (number for number in range(first, len(self.document.pages) + 1) if number not in numbers)
        return earlier + [(number, words.LATER) for number in islice(later, 1)]


def make(output: Output, values: Mapping[str, Any]) -> Made:
    """Run the chain as far as it goes; pages are drawn, but not yet written in any format."""
    made = Made(output, values)
    made.missing = tuple(one.name for one in output.fields if one.required and one.name not in values)
    try:
        made.spec = _spec(output, values)
        if not made.missing:
            made.check()
            plan = output.plan(output.read(**made.own))
            made.document = cut(output.draw(plan, made.command), made.asked) if output.writes != "never" else None
            made.plan, made.remarks = plan, plan.warnings
    except MarkingError as error:
        made.error = error
    return made


def _spec(output: Output, values: Mapping[str, Any]) -> TighteningSpec | None:
    """How the spec is read, as soon as there is one. Raises a MarkingError that names its field."""
    if "spec" not in values or all(one.name != "spec" for one in output.fields):
        return None
    from marking.fastening.spec_grammar import parse_spec

    asked = {one.name: one for one in output.fields}
    given = {name: values[name] for name in READING if name in values and name in asked}
    for name, value in given.items():
        asked[name].check(value)
    if "points" in given:
        given["points"] = int(given["points"])
    return parse_spec(given.pop("spec"), **given)


def show(made: Made, first: int = 1) -> None:
    """Write some pages as they are shown, from page `first` on; from the beginning, little of a set's index."""
    if made.document is None:
        return
    count = len(made.document.pages)
    index = next(iter(made.plan.plans.values())).front.pages if first == 1 and hasattr(made.plan, "plans") else 0
    begin = min(first, count) + index
    numbers = [*range(1, min(index, MAX_INDEX_SHOWN) + 1), *range(begin, count + 1)]
    for number in numbers[:MAX_SHOWN]:
        page = made.document.pages[number - 1]
        svg = page_file(made.document, page, SHOWN_AS).partition(b"?>")[2]
        size = words.SIZE.format(page.width_mm, page.height_mm)
        made.sheets.append(Sheet(number, svg, words.CAPTION.format(number, count, size)))


def page_file(document: Document, page: Page, suffix: str, asked: Mapping[str, Any] = NOTHING) -> bytes:
    """Return one page as a file of a format with a file for each, ".svg", with what is `asked` of it."""
    return next(files(document._replace(pages=(page,)), f"page{suffix}", asked)).content


def files(document: Document, name: str, asked: Mapping[str, Any] = NOTHING) -> Iterator[File]:
    """Yield the files that `marking.save` would write, one after the other, with what is `asked` of their format."""
    own = {field: value for field, value in asked.items() if field in format_of(name).takes}
    for path, write in writers(document, name, **own).items():
        content = io.BytesIO()
        write(content)
        yield File(path.name, content.getvalue())


def zipped(found: Iterator[File], name: str) -> File:
    """Return files in one, without dates."""
    content = io.BytesIO()
    with zipfile.ZipFile(content, "w") as archive:
        for file in found:
            entry = zipfile.ZipInfo(file.name)
            entry.external_attr = 0o644 << 16  # else whoever unpacks it may not read it
            archive.writestr(entry, file.content, zipfile.ZIP_DEFLATED)
    return File(name, content.getvalue())
