"""Hostile texts for every reader of texts: good ones spoilt, letters' twins, any Unicode, endless ones."""

from __future__ import annotations

import csv
import os
import random
import tempfile
import unicodedata
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import cache, partial
from pathlib import Path
from unittest import mock

from hostile.harness import Kind, check_message, reads
from marking.drawing.fonts import printable
from marking.fastening.od_range import parse_od_range
from marking.fastening.socket import parse_drive, parse_stock
from marking.fastening.spec_grammar import parse_spec
from marking.fastening.strength import parse_strength
from marking.fastening.thread import parse_thread
from marking.lists.items import Listing
from marking.lists.read import read_list, turn_items
from marking.marks.reading_error import read_error_model
from marking.outputs.stretch.request import parse_friction, parse_modulus, parse_sections, parse_washers
from marking.printers.profile import read_profile
from marking.printers.ruler import read_ruler
from marking.printers.store import CONFIG_VARIABLE, add_profile, profile, profiles_path
from marking.quantities.parse import parse_angle, parse_length, parse_percent
from marking.quantities.torque import parse_torque
from marking.readouts import READOUTS
from marking.sheets.paper import SIZES, parse_paper
from marking.sheets.parts import MAX_TITLE

TWINS = {
    "i": "ıİіⅰ", "I": "ıİΙ", "s": "ſѕ", "S": "ſЅ", "k": "\u212aκк", "K": "\u212aΚ", "m": "мｍ", "n": "ոｎ", "N": "Νℕ",
    "o": "оο", "a": "аɑ", "x": "х×✕", "t": "τｔ", "f": "ſｆ", "c": "сϲ", "M": "ΜМ", "r": "г", "°": "º˚⁰∘", "±": "∓+",
    "-": "−–—‐‑\u00ad", "+": "＋﹢", "/": "⁄∕／", ".": "․。,", ",": "‚，.;", " ": "\u00a0\u2009\u3000\u200b\u2028",
    "·": "•⋅∙.", "1": "١１¹", "2": "２²½", "0": "０٠", "9": "９⁹", '"': "″”''", "#": "＃№",
}  # fmt: skip
"""Characters that look like those of real texts, or that change to them with their case."""

POOL = "0123456789.,/+-−±°½⅓⅟ ·*x×#\"'^%NnMmKkgfblictndaursh()[]…\t\n\r\0\x1b\u202e\u0301\ufeff\ud800\U0001f529"

LENGTHS = ("27.8 mm", "27,85 mm", "1-3/32 in", '1 3/32"', "¾ in", ".5 in", "2.78 cm", "0.0278 m", "3/4 in.", "0 mm")
TURNS = ("90°", "90° +10/-0", "90 deg ±5", "1/4 turn ±5", "2 flats", "1-1/3 turns", "22,5° ±2,5", "90° -0/+10")
SPECS = (
    "110 N·m + 90° +10/-0", "110Nm+90°+10/-0", "40,5 Nm, 90°, 90°", "hand tight + 2 flats", "90° + 90° -0/+10",
    "60 lb-ft, 1/4 turn ±5, 1/4 turn ±5", "11 daNm then 90 degrees +/-5°", "Hand-tight, then 1 flat ±1/12 turn",
    "1 turn +30/-0, 1/4 turn", "90° +1-1/2/-½", "110 Nm, 60,9°", *TURNS,
)  # fmt: skip
TORQUES = ("110 N·m", "110 Nm", "11 daN·m", "10 kgf·cm", "80 ft-lb", "60 lbf·in", "30 foot-pounds", "10 mkg")
ERRORS = {
    "closure_error": "0.4 mm", "sideways_error": "0.2 mm", "view_angle": "10°", "stop_error": "1/64 in",
}  # fmt: skip


def spoilt(rng: random.Random, good: Sequence[str]) -> str:
    """Return one of `good` with characters lost, doubled, moved, changed or replaced by twins; at times anything."""
    draw = rng.random()
    if draw < 0.04:
        return "".join(chr(rng.randrange(0x110000)) for _ in range(rng.randrange(40)))
    if draw < 0.08:
        return "".join(rng.choices(POOL, k=rng.randrange(30)))
    text = rng.choice(good)
    if draw < 0.085:
        piece = rng.choice((text, rng.choice(POOL), text[:1] or "1"))
        return text + piece * (rng.choice((300, 10_000, 1_000_000)) // len(piece))
    for _ in range(rng.choice((0, 1, 1, 1, 2, 2, 3, 5))):
        text = _changed(rng, text, good)
    return text


def _changed(rng: random.Random, text: str, good: Sequence[str]) -> str:
    at = rng.randrange(len(text) + 1)
    before, char, after = text[:at], text[at : at + 1], text[at + 1 :]
    match rng.randrange(8):
        case 0:
            return before + after
        case 1:
            return before + rng.choice(POOL) + char + after
        case 2:
            return before + rng.choice(POOL) + after
        case 3:
            return before + char.swapcase() + after
        case 4:
            other = rng.choice(good)
            return before + other[rng.randrange(len(other)) :]
        case 5:
            return before + char * rng.choice((2, 3, 40)) + after
        case 6:
            return after + before + char
    places = [n for n, one in enumerate(text) if one in TWINS]
    if not places:
        return text.upper()
    at = rng.choice(places)
    return text[:at] + rng.choice(TWINS[text[at]]) + text[at + 1 :]


def _spec(text: str) -> None:
    spec = parse_spec(text)
    assert replace(parse_spec(spec.read_as), title=spec.title) == spec


def _one_error(text: str) -> None:
    name, _, value = text.partition("=")
    read_error_model({name: value})


@cache
def _folder() -> tempfile.TemporaryDirectory[str]:
    return tempfile.TemporaryDirectory(prefix="hostile-")


def _look_up(text: str) -> None:
    """Look up a printer among those of NAMES, in a folder of their own."""
    with mock.patch.dict(os.environ, {CONFIG_VARIABLE: _folder().name}):
        if not profiles_path().exists():
            for name in dict.fromkeys(unicodedata.normalize("NFC", name) for name in NAMES):
                add_profile(read_profile(name, "160 mm", "240 mm"))
        profile(text)


def _accepts(listing: Listing) -> bool:
    for message in (*(fault.text for fault in listing.faults), *map(str, listing.warnings)):
        check_message(message)
    return bool(listing.items) and not listing.faults


def _cell(column: str) -> Callable[[str], bool]:
    """Return what reads a text as the cell of a list."""
    row = {"id": "A1", "spec": "90° ±5", "points": "12", "drive": "1/2", "od": "27.8 mm"}

    def feed(text: str) -> bool:
        path = Path(_folder().name) / "list.csv"
        cells = row | {column: text}
        with path.open("w", encoding="utf-8", errors="replace", newline="") as file:
            csv.writer(file).writerows([cells, cells.values()])
        accepted = True

        def read(path: Path) -> None:
            nonlocal accepted
            accepted = _accepts(read_list(path))

        return reads(read)(path) and accepted

    return feed


def _turns(text: str) -> bool:
    accepted = True

    def read(text: str) -> None:
        nonlocal accepted
        accepted = _accepts(turn_items(text, points="6, 12", drives="3/8, 1/2"))

    return reads(read)(text) and accepted


def _kind(name: str, good: Sequence[str], feed: Callable[[str], bool]) -> Kind:
    return Kind(name, partial(spoilt, good=good), feed)


THREADS = ("M12x1.75", "M12", "M10 × 1,25-6H", "1/2-13", "3/4-16 UNF-2A", "½ UNC", "#10-24", "1-64", "1-1/8-7 UNC LH")
NAMES = ("office", "Büro 2", "bench_3.b-c", "Bu\u0308ro")

KINDS: tuple[Kind, ...] = (
    _kind("spec", SPECS, reads(_spec)),
    _kind("length", LENGTHS, reads(parse_length)),
    _kind("torque", TORQUES, reads(parse_torque)),
    _kind("OD range", ("24 mm..32 mm", "24..32 mm", "1 in … 1-1/4 in", "24 – 32 mm"), reads(parse_od_range)),
    _kind("paper", (*SIZES, "210x297", "8.5x11in", "62mm x roll", "8,5 in x 11 in"), reads(parse_paper)),
    _kind("margin", LENGTHS, reads(partial(parse_paper, "a4"))),
    _kind("drive", ("1/2", "1/2 in", '½"', "12.5", "12.5 mm", "1-1/2", "0.75 in"), reads(parse_drive)),
    _kind("ruler", ("99.2 mm x 99.6 mm", "99,2 × 99,6mm", "3.9 in by 3.92 in"), reads(read_ruler)),
    _kind("stock", ("0.1 mm", "0,11 mm", ".004 in", "1 mm"), reads(parse_stock)),
    _kind("percent", ("0.5 %", "0,5%", "1/2 %"), reads(partial(parse_percent, field="unequal_scale"))),
    _kind("angle", ("10°", "10 deg", "7,5 degrees", "½°"), reads(partial(parse_angle, field="view_angle"))),
    _kind("error model", [f"{name}={text}" for name, text in ERRORS.items()], reads(_one_error)),
    _kind("thread", THREADS, reads(parse_thread)),
    _kind("class, metric", ("10.9", "8,8", "class 12.9", "ISO 898-1 class 8.8", "A2-70", "ISO 3506-1 A4-80"),
          reads(partial(parse_strength, thread=parse_thread("M12")))),
    _kind("grade, unified", ("5", "grade 8", "SAE J429 grade 5", "gr. 8"),
          reads(partial(parse_strength, thread=parse_thread("1/2-13")))),
    _kind("modulus", ("70 GPa", "210000 N/mm²", "10e6 psi", "14 Mpsi", "30 x 10^6 psi"), reads(parse_modulus)),
    _kind("sections", ("40 mm x 9 mm", "10 mm x 12.5 mm + 30 mm × 9 mm", "1 in*3/8 in"), reads(parse_sections)),
    _kind("washers", ("2.5 mm", "2 x 2.5 mm", "1/8 in"), reads(parse_washers)),
    _kind("friction", ("0.10..0.16", "0,1 to 0,16", "0.12", "0.1 – .16"), reads(parse_friction)),
    _kind("printer name", NAMES, reads(partial(read_profile, x="160 mm", y="240 mm"))),
    _kind("printer value", ("159.4 mm", "160,2 mm", "6-1/4 in", "16 cm"),
          reads(lambda text: read_profile("office", text, "240 mm"))),
    _kind("printer looked up", NAMES, reads(_look_up)),
    _kind("title", ("Tram depot, bogie bay", "Ø 30 · N·m", "Werkstatt Süd"),
          reads(partial(printable, subject="title", longest=MAX_TITLE))),
    _kind("cell id", ("A1", "B 7", "axle-box 12/3", "Ž-9"), _cell("id")),
    _kind("cell points", ("12", "6 pt", "8 points", "4"), _cell("points")),
    _kind("cell copies", ("1", "12", "1000"), _cell("copies")),
    _kind("cell kind", tuple(READOUTS), _cell("kind")),
    _kind("cell thread", ("right", "LH", "left-hand", "RH"), _cell("thread")),
    _kind("cell OD", LENGTHS, _cell("od")),
    _kind("turns", ("30°, 60°, 90° +10/-0", "90° ±5; 1/4 turn", "22,5°, 45°"), _turns),
)  # fmt: skip
