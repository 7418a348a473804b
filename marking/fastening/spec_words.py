"""The words of tightening specs: units, verbs, joints, step numbers, as patterns over tidied text.

Tidied text has one kind of minus, degree sign, dot and blank each; see `tidied`. All patterns ignore case: it changes
no meaning of what they read, as units that differ from others in case only (mN, MN) are not read at all.
"""

from __future__ import annotations

import re
from fractions import Fraction

from ..quantities.scanner import ANY_CASE, Words

_ALIKE = {
    "-": "−‐‑–",
    "°": "º˚",  # what keyboards without a degree sign offer
    "·": "⋅•∙*",
    " ": "\t\r\u00a0\u2007\u2009\u202f",
    "x": "×",
}
_TIDY = str.maketrans({char: plain for plain, chars in _ALIKE.items() for char in chars})


def tidied(text: str) -> str:
    """Return the text, equally long, with one character for all that mean the same."""
    return text.translate(_TIDY)


def _compiled(pattern: str) -> re.Pattern[str]:
    return re.compile(pattern, ANY_CASE)


_END = r"(?![^\W\d_])"  # no letter behind: "turned" is not "turn", but "then90°" is "then"

SHORTENED = _compiled(r"(?:lbs?|lbf|ft|in)\Z")
"""Units that may end with a dot."""

ANGLE_UNIT = _compiled(
    rf"(?P<degree>°|-?(?:degrees?{_END}|degs?{_END}\.?))"
    rf"|-?(?:(?:of an? |full |complete )?(?P<turn>turns?|revolutions?)|(?P<flat>flats?)){_END}"
)
_NUMBERS = ("one", "two", "three", "four", "five", "six", "seven", "eight")
_ORDINALS = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth")
COUNTS = {word: number for number, word in enumerate(_NUMBERS, 1)}
_PARTS = {"half": 2, "third": 3, "quarter": 4, "fourth": 4, "sixth": 6, "eighth": 8, "twelfth": 12}
COUNT = Words(rf"(?P<count>{'|'.join(COUNTS)})(?=[ -])")
_PART_TURN = Words(
    rf"(?:(?P<count>an?|{'|'.join(COUNTS)})[ -])?(?P<part>{'|'.join(_PARTS)})s?[ -](?:of )?(?:an? |one )?turns?{_END}"
)


def part_of_a_turn(text: str, position: int) -> tuple[Fraction, int] | None:
    """Return the turns that words such as "two thirds of a turn" state at `position`, and the place behind them."""
    found = _PART_TURN.match(text, position)
    if not found:
        return None
    count = COUNTS.get((found["count"] or "").lower(), 1)
    return Fraction(count, _PARTS[found["part"].lower()]), found.end()


PLUS_MINUS = _compiled(rf"±|\+ ?/? ?-|plus[ -]or[ -]minus{_END}|plus ?/ ?minus{_END}")
PLUS, MINUS = _compiled(rf"\+|plus{_END}"), _compiled(rf"-|minus{_END}")
OVER_ZERO = _compiled(r"(?P<sign>[+-]) ?(?P<amount>\d{1,4}(?:[.,]\d{1,2})?)°? ?/ ?0(?![\d/]|[.,]\d)")
ZERO_OVER = _compiled(r"0°? ?/ ?(?=[+-])")
SLASH = re.compile("/")
COMMA_BEFORE_SIGN = _compiled(rf",(?= ?(?:[+-]|plus{_END}|minus{_END}))")
OPEN_TOLERANCE = _compiled(rf"\((?= ?(?:±|\+|-|plus{_END}|0°? ?/))")
OPEN, CLOSE = re.compile(r"\( ?=?"), re.compile(r"\)")
DASH, RANGE_WORD, AND = re.compile("-"), Words(rf"(?:up )?to{_END}"), Words(rf"and{_END}")
BETWEEN = Words(rf"between{_END}")
TIMES = _compiled(r"[x·](?= ?[\d.½⅓¼⅔¾⅙⅛])|times(?= )")

FIGURE = re.compile(r"[\d.,¼-¾⅐-⅞]")
ANY_FRACTION = re.compile(r"\d+/\d+")
TWO_NUMBERS = re.compile(r"(?P<one>\d{2,3}),(?P<other>\d{2})")
THOUSANDS = re.compile(r"[1-9]\d{0,2}[.,]\d{3}")
LETTER_AS_FIGURE = Words(r"[oil](?=[\d°oil])")

LEFT_HAND = _compiled(r"\bleft[ -]?hand|\bL\.?H\.?(?!\w)")
END = re.compile(r"\s*[.;]?\s*\Z")
MARK = re.compile(r"[,;]|\.(?=\s|\Z)")
LINE_END = re.compile(r"\n")
SYMBOL = re.compile(r"&|\+(?! ?/? ?-)")
JOIN_WORD = Words(rf"(?:and|then|plus|next|finally|afterwards|after that|followed by){_END},?")

TOTAL_BEFORE = Words(rf"(?:an? )?total{_END}(?: of{_END}| (?:angle|turn)(?: of)?{_END})?:?|in (?:all|total){_END}")
FURTHER = Words(rf"(?:an? )?(?:further|additional|extra|another|more){_END}")
TOTAL_BEHIND = Words(
    rf"(?:in (?:all|total)|altogether|total(?: (?:turn|rotation))?"
    rf"|(?:from|past|beyond|after) (?:the )?snug(?:[ -]?tight(?:ness)?)?(?: (?:torque|position|condition))?){_END}"
)
_ORDER = r"in (?:the )?(?:right |given |stated )?(?:sequence|order)"
TURN_NOUN = Words(rf"(?:of )?(?:rotation|turn|angle){_END}")
TORQUE_NOUN = Words(rf"(?:(?:snug )?torque|{_ORDER}){_END}")
_PARTS_NAMES = "bolts?|nuts?|screws?|studs?|fasteners?|heads?"
FILLER = Words(
    rf"(?:{_ORDER}|(?:re-?)?tighten(?:ing)?|(?:re-?)?torque(?: of|:)?|turn(?:ing|:)?|rotat(?:e|ing|ion:)|pull|bring|add"
    r"|angle(?: of|:)?|snug(?: up| down)?(?= to )|snug torque(?: of|:)?|first|now|again|until|by|through|on|of|an?|the"
    rf"|all|each|every|{_PARTS_NAMES}){_END},?"
)
LOOSEN = Words(
    rf"(?:loosen|slacken|back(?:ed)?(?: it| them)? off|turn back|undo|release|unscrew){_END}"
    rf"(?: (?:all|the|bolts?|nuts?|screws?|fasteners?|fully|completely|again|by){_END})*"
)
HAND_TIGHT = Words(
    rf"(?>(?P<how>hand|finger|snug)[ -]?tight(?:en(?:ed)?)?|(?P<snug>snug))"
    rf"(?: (?:condition|position))?{_END}(?! (?:up |down )?to\b| torque)"
)

BEFORE = {"total": TOTAL_BEFORE, "further": FURTHER, "to": RANGE_WORD, "between": BETWEEN, "filler": FILLER}
"""Words before an amount, by what they say."""

BEHIND = {"total": TOTAL_BEHIND, "further": Words(rf"(?:further|more|extra){_END}"), "order": Words(_ORDER + _END)}
"""Words behind a turn, by what they say."""

AMOUNT_AHEAD = rf"[.,]?\d|[¼-¾⅐-⅞]|(?:an? )?(?:{'|'.join((*COUNTS, *_PARTS))}){_END}"

_NUMBER = rf"[1-9]\d?|[a-h]|{'|'.join(_NUMBERS)}"
STEP_NUMBER = _compiled(
    rf"(?:stage|step|pass|phase) ?(?:no\.? ?)?(?P<word>{_NUMBER}) ?(?::|\)|\.(?!\d)|-(?= ))"
    rf"|(?P<ordinal>[1-9](?:st|nd|rd|th)|{'|'.join(_ORDINALS)})(?: (?:stage|step|pass|phase))? ?:"
    rf"|\((?P<bracket>[1-9]\d?|[a-h])\)|(?P<half>[1-9]\d?|[a-h])\)|(?P<dot>[1-9]\d?|[a-h])\.(?=\s)|(?P<colon>[1-9]\d?):"
)


def step_number(found: re.Match[str]) -> int:
    """Return the number, from 1, that a match of STEP_NUMBER states."""
    kind = found.lastgroup or ""
    text = found[kind].lower()
    if kind == "ordinal" and text[0].isdigit():
        return int(text[0])
    for names in (_NUMBERS, _ORDINALS, "abcdefgh"):
        if text in names:
            return names.index(text) + 1
    return int(text)


_NO_TITLE = (
    r"[+±°;&\n]|^\W*\d|(?<![\w.,/-])\d[\d.,/]*[ -]*[^\W\d_]"
    r"|\b(?:stage|step|pass|phase) ?(?:no\.? ?)?(?:\d|one|two|three|four|five|six)"
    r"|\b(?:torque|tighten|turn|rotate|angle|to|by) ?:? ?\d|\b(?:hand|finger|snug)[ -]?tight|\bsnug\b|\bthen\b"
    r"|\b(?:loosen|slacken|back off|undo|release|unscrew)|\b(?:turns?|flats?) ?$"
)
_ONLY_FILLERS = Words(
    rf"(?>(?:(?!{_PARTS_NAMES}){FILLER.pattern}|{RANGE_WORD.pattern}|{JOIN_WORD.pattern}|{FURTHER.pattern})\s*)*+:?\Z"
)
_MOST_COLONS = 8


def title_end(text: str) -> int | None:
    """Return the place of the colon that ends a title, or None.

    A title holds no step, no number of a step and no number that could be a step wrongly typed: the number of a size
    hangs on a letter (M14, M12x1.75) or ends the title.
    """
    for place in reversed([i for i, char in enumerate(text) if char == ":"][:_MOST_COLONS]):
        title = text[:place]
        # letters of all alphabets: a word behind a number may be a unit
        named = any(char.isalpha() for char in title) and not re.search(_NO_TITLE, title, re.IGNORECASE)
        if named and not STEP_NUMBER.match(text[: place + 1]) and not _ONLY_FILLERS.match(title):
            return place
    return None
