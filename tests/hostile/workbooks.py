"""Hostile .xlsx workbooks: their XML and their zip spoilt, and bombs, small only while packed."""

from __future__ import annotations

import io
import random
import zipfile
from functools import cache

import openpyxl

from hostile.harness import Kind
from hostile.lists import CELLS, GOOD, read_table

SHEET, STYLES, BOOK = "xl/worksheets/sheet1.xml", "xl/styles.xml", "xl/workbook.xml"
WORDS = (
    b"<c/>", b"<row/>", b"</row>", b"<xf/>", b"&a;", b"<!--", b"<!DOCTYPE a>", b"<![CDATA[", b'r="XFD1048576"',
    b't="s"', b't="d"', b't="inlineStr"', b"<v>99</v>", b"<v>1e999</v>", b'state="hidden"', b"<f>1</f>", b'xmlns="a"',
)  # fmt: skip
UNITS = {
    "cells": (SHEET, b"</row></sheetData>", b"<c/>"), "rows": (SHEET, b"</sheetData>", b"<row/>"),
    "filled cells": (SHEET, b"</sheetData>", b"<row>" + b"<c><v>1</v></c>" * 60 + b"</row>"),
    "nested cells": (SHEET, b"</sheetData>", b"<c>"), "formats": (STYLES, b"</cellXfs>", b"<xf/>"),
    "fonts": (STYLES, b"</fonts>", b"<font/>"), "foreign cells": (STYLES, b"</cellXfs>", b'<c r="A1" s="1"/>'),
    "sheets": (BOOK, b"</sheets>", b'<sheet name="a" sheetId="3" r:id="rId1" xmlns:r="http://schemas.openxmlformats.org'
               b'/officeDocument/2006/relationships"/>'),
    "text": (SHEET, b"</row></sheetData>", b"x"), "comments": (SHEET, b"</sheetData>", b"<!--" + b"x" * 9999 + b"-->"),
}  # fmt: skip


@cache
def _good() -> bytes:
    book, out = openpyxl.Workbook(), io.BytesIO()
    assert book.active is not None
    columns = [name for name in GOOD if name != "socket"]
    for row in (columns, *[[GOOD[name] for name in columns]] * 3):
        book.active.append(row)
    book.create_sheet("Second").append(["spec"])
    book.save(out)
    return out.getvalue()


@cache
def _parts() -> dict[str, bytes]:
    with zipfile.ZipFile(io.BytesIO(_good())) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def _packed(parts: dict[str, bytes]) -> bytes:
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(zipfile.ZipInfo(name), content, zipfile.ZIP_DEFLATED)  # with no time of its own
    return out.getvalue()


def spoilt_xml(rng: random.Random) -> bytes:
    """Return a workbook with something else in the XML of one of its parts, or with cells that are hostile."""
    parts = dict(_parts())
    name = rng.choice((SHEET, SHEET, *parts))
    data = bytearray(parts[name])
    for _ in range(rng.randint(1, 3)):
        at = rng.choice([place for place, byte in enumerate(data) if byte in b'<>" '] or [0])
        match rng.randrange(4):
            case 0:
                data[at:at] = rng.choice(WORDS)
            case 1:
                del data[at : at + rng.randint(1, 40)]
            case 2:
                data[at:at] = data[at : at + rng.randint(1, 200)]
            case _:
                cell = "".join(char for char in rng.choice(CELLS) if char.isprintable()).replace("<", "")
                data = bytearray(bytes(data).replace(b"<t>B1</t>", f"<t>{cell}</t>".encode(), 1))
    return _packed(parts | {name: bytes(data)})


def spoilt_zip(rng: random.Random) -> bytes:
    """Return a workbook with bytes of its zip changed or cut away."""
    data = bytearray(_good())
    for _ in range(rng.randint(1, 4)):
        at = rng.randrange(len(data)) if rng.random() < 0.5 else -rng.randint(1, 1200)
        data[at] = rng.randrange(256)
    return bytes(data[: rng.randrange(len(data))] if rng.random() < 0.1 else data)


def bomb(rng: random.Random) -> bytes:
    """Return a workbook with very many of one thing, up to 64 MiB of it."""
    name, before, unit = UNITS[rng.choice(tuple(UNITS))]
    content = _parts()[name]
    assert before in content, before
    size = int(2 ** rng.uniform(4, 26))
    return _packed(_parts() | {name: content.replace(before, unit * max(1, size // len(unit)) + before, 1)})


def feed(raw: bytes) -> bool:
    return read_table(raw, "list.xlsx", is_register=False)


KINDS = (
    Kind("workbooks with hostile XML", spoilt_xml, feed),
    Kind("workbooks with a hostile zip", spoilt_zip, feed),
    Kind("workbook bombs", bomb, feed),
)
