"""Mistakes in typing a command, told by what was meant: other words, dashes, quotation marks, what is missing."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence

import click

QUOTES = "“”„‟«»‹›‘’‚‛"
"""Quotation marks that word processors put for those of the keyboard; no shell takes them for any."""

SYNONYMS = {
    "sides": ("points",), "corners": ("points",), "edges": ("points",), "flats": ("points", "spec"),
    "point": ("points",), "hex": ("points",),
    "diameter": ("od",), "dia": ("od",), "outside": ("od",), "outside-diameter": ("od",), "outer": ("od",),
    "circumference": ("around",), "girth": ("around",), "perimeter": ("around",), "length": ("around", "grip"),
    "range": ("od-range",), "diameters": ("od-range",),
    "size": ("opening", "screw", "label-size", "paper"), "af": ("opening",), "across-flats": ("opening",),
    "width": ("opening", "ring-width"), "wrench": ("opening",), "spanner": ("opening",), "jaw": ("opening",),
    "square": ("drive",), "driver": ("drive",), "ratchet": ("drive",),
    "left": ("thread",), "lefthand": ("thread",), "left-hand": ("thread",), "lh": ("thread",), "rh": ("thread",),
    "right": ("thread",), "hand": ("thread",), "direction": ("thread",), "reverse": ("thread",),
    "torque": ("spec",), "angle": ("spec",), "turn": ("spec", "turns"), "degrees": ("spec",), "tolerance": ("spec",),
    "format": ("paper",), "page": ("paper",), "sheet": ("paper",), "page-size": ("paper",), "media": ("paper",),
    "thickness": ("stock",), "paper-thickness": ("stock",), "border": ("margin",), "margins": ("margin",),
    "units": ("unit",), "metric": ("unit",), "inch": ("unit",), "inches": ("unit",), "imperial": ("unit",),
    "profile": ("printer",), "queue": ("print",), "lp": ("print",), "send": ("print",),
    "out": ("output",), "file": ("output",), "save": ("output",), "pdf": ("output",), "svg": ("output",),
    "count": ("copies", "fasteners"), "number": ("copies", "fasteners"), "quantity": ("copies", "fasteners"),
    "bolts": ("fasteners",), "screws": ("fasteners",), "nuts": ("fasteners",), "studs": ("fasteners",),
    "pointers": ("fasteners",), "name": ("title",), "heading": ("title",), "job": ("title",),
    "bolt": ("screw",), "grade": ("class",), "strength": ("class",), "property-class": ("class",),
    "clamp": ("grip",), "clamped": ("grip",), "students": ("trainees",), "pupils": ("trainees",),
    "view": ("open",), "show": ("open",),
}  # fmt: skip
"""Words that people type for an option, and what they may mean, the likeliest first."""

TARGET = "--output (or --print)"

_OPTION = re.compile("--?[A-Za-z]")

_DASHES = "".join(chr(code) for code in range(0x2010, 0x2016)) + "−－﹣"


def missing(command: click.Command, ctx: click.Context, typed: Sequence[str], target: bool) -> str:
    """Say all that a command line lacks, with its `target` where there has to be one; "" if it lacks nothing."""
    given, _, _ = command.make_parser(ctx).parse_args(list(typed))
    lacking = [
        param.make_metavar(ctx) if isinstance(param, click.Argument) else param.opts[0]
        for param in command.params
        if param.required and param.value_is_missing(param.consume_value(ctx, given)[0])
    ]
    if target and not given.get("output") and not given.get("queue"):
        lacking.append(TARGET)
    several = f"{', '.join(lacking[:-1])} and {lacking[-1]} are" if lacking[1:] else f"{''.join(lacking)} is"
    return f"{several} missing" if lacking else ""


def meant(command: click.Command, option: str) -> str:
    """Say what stands for an option that there is not, by its meaning; "" where nobody knows."""
    word = option.lstrip("-").lower().replace("_", "-")
    names = {opt.lstrip("-"): opt for param in command.params for opt in param.opts if isinstance(param, click.Option)}
    names |= {"spec": "words in SPEC"} if any(param.name == "spec" for param in command.params) else {}
    known = [names[name] for name in SYNONYMS.get(word, ()) if name in names]
    return f"There is no option {option}: here it is said with {known[0]}." if known else ""


def dashes(command: click.Command, typed: Sequence[str]) -> Iterator[str]:
    """Say which words are options of a command, but for a dash in place of their hyphens."""
    options = {
        opt.lstrip("-"): opt for param in command.params for opt in param.opts if isinstance(param, click.Option)
    }
    for word in typed:
        name = word.lstrip(_DASHES + "-").partition("=")[0].translate(dict.fromkeys(map(ord, _DASHES), "-"))
        wrong = next((char for char in word[: len(word) - len(word.lstrip(_DASHES + "-"))] if char in _DASHES), "")
        if wrong and name in options:
            sign = unicodedata.name(wrong).lower().replace("-", " ")
            yield f"{word} begins with another dash (a word processor's {sign}); type {options[name]} with hyphens"


def quotes(typed: Sequence[str]) -> Iterator[str]:
    """Say which words begin with a quotation mark that no shell knows: what follows it has come in pieces."""
    for word in typed:
        if word[:1] and word[0] in QUOTES and not set(f"{QUOTES} ") & set(word[1:]):
            yield f'{word} begins with a typographic quotation mark, which a shell does not know; type "straight" ones'


def unquoted(command: click.Command, ctx: click.Context, typed: Sequence[str]) -> str:
    """Say which words should have been one, in quotation marks; "" if there are no words too many."""
    try:
        _, rest, _ = command.make_parser(ctx).parse_args(list(typed))
    except click.UsageError:
        return ""
    if not rest:
        return ""
    place = typed.index(rest[0])
    begin, end = place, place + 1
    while begin and not _OPTION.match(typed[begin - 1]):
        begin -= 1
    while end < len(typed) and not _OPTION.match(typed[end]):
        end += 1
    option = f"{typed[begin - 1]} " if begin else ""
    text = " ".join(typed[begin:end])
    return f'{" ".join(rest)} is too much; a text with spaces stands in quotation marks: {option}"{text}"'
