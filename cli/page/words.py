"""The sentences of the page in a browser."""

from __future__ import annotations

import re
from typing import Any

_HELD = re.compile(
    r"(?<=[\d}°]) (?=(?:[kM]?N·m|lbf·(?:ft|in)|[MG]Pa|Mpsi|[cm]?m|MB|UN[CF])\b|%|×|[±+−-]\d)|(?<=×) |(?<=\d) (?=in\b)"
)
"""Spaces at which no line may end: between a number, or a place for one, and its unit or tolerance."""


def held(said: Any) -> Any:
    """Return a sentence, or several, whose numbers stay in a line with their units."""
    if isinstance(said, str):
        return _HELD.sub("\u00a0", said)
    if isinstance(said, tuple):
        return tuple(map(held, said))
    return {key: held(one) for key, one in said.items()} if isinstance(said, dict) else said


NAME = "turnband"
MOTTO = "Paper marks, printed to scale, that turn any socket into an angle gauge for torque-then-turn tightening."

LABELS = {
    "list_file": "List",
    "sockets": "Register of sockets",
    "only": "Only these ids",
    "socket": "Only these sockets",
    "since": "Only what is new since this list",
    "since_sockets": "Register of that older list",
    "key": "Answer key in a file of its own",
    "no_practice": "No practice pages",
    "x": "A to B, measured",
    "y": "B to C, measured",
    "x_nominal": "A to B, as the proof page says",
    "y_nominal": "B to C, as the proof page says",
    "ruler": "Rulers, measured",
    "stock": "Paper thickness",
    "text": "Letters of an SVG",
    "dpi": "Dots per inch",
    "one_bit": "Black and white only",
}
"""Fields whose names do not say enough above a box."""

THE = {"spec": "the spec", "list_file": "a list"}

QUESTIONS = {
    "manual": "What does the manual say?",
    "socket": "Which socket?",
    "od": "Do you know its diameter?",
    "list": "Which list?",
    "turns": "Or the same turns on every socket?",
}
NOTES = {
    "manual": "Type the tightening as it stands there: first the torque, then the turn and its tolerance. "
    "Nm and deg do as well as N·m and °.",
    "socket": "Count the corners inside it, and look for the size of its square.",
    "od": "Fill in one of the two, or none: the sheet then holds bands that you cut to fit.",
    "list": "Drop a spreadsheet here, or choose it: CSV or .xlsx, at most 2 MB and 2,000 rows. The columns may stand "
    "in any order.",
    "turns": "Without a list: give turns, and choose a register above or say which points and drives.",
}
MEASURE = "How to measure it"
MEASURING = (
    "With callipers, where the band will sit: that is the OD, such as 27.8 mm.",
    "Without: cut a strip of the paper you print on, about 10 mm wide, its end square.",
    "Wrap it tight round the socket where the band will sit, past its own beginning.",
    "Prick through both layers with a needle, or mark the edge of the overlap.",
    "Lay it flat and measure from the end, or from hole to hole: that goes into “Around”.",
)
ALSO = "And this"
MORE = "More"
OTHER = "Other"
USUALLY = "Usual: {}."
EXAMPLE = "For example {}"
CHOOSE = "choose"
AS_USUAL = "as usual"
NONE = "none"
TRY = "Try it with an example"
MAKE = "Show it"
STARTED = "What you ask for appears here while you type."
STARTED_LIST = "What is in your list appears here as soon as you choose it, faults first."
SHOWN_AFTER = "Fill in the form and press “Show it”."
SKIP = "Skip to the sheet"

BUSY = "Drawing …"
RESULT = "Result"
READ_AS = "Read as"
TIGHTEN = "Tighten"
MISSING = "Still to fill in:"
MEND = "Something has to be mended first:"
GONE = "There is no answer: the page has ended, or cannot be reached. What was typed is not drawn."
CHANGED = "A file has changed since it was chosen. Choose it again."
NOT_TO_SCALE = "Printed from here the sheets are not to scale. Press “Print” instead, which opens the PDF."
OLD_SHEET = "This is an earlier sheet: what you typed since cannot be drawn yet."
WARNINGS = "Take note"
NUMBERS = "Numbers"
SHEETS = "The sheet, as it prints"
CAPTION = "Page {} of {}: {}"
SIZE = "true size {:g} × {:g} mm"
SHOWN = "Pages {} of {} are shown; the file has them all."
EARLIER = "Earlier pages"
LATER = "Later pages"
CLOSER = "Look closer"
ZOOMS = (("fit", "Whole page"), ("true", "True size"), ("close", "Three times"))

TAKE = "Take it away"
SAVE_PDF = "Save the PDF"
SAVE_APART = "Save {}"
SAVE_PAGE = "Save the {}"
SAVE_ALL = "All pages as {}"
SAVE_SPLIT = "Save all files"
PRINT = "Print"
PRINTING = (
    "“Print” opens the PDF in the browser's own viewer. In its dialog choose “actual size” or 100 %, and switch “fit "
    "to page” off."
)
ADDRESS = "Address of this job"
KEEP = "Keep it as a bookmark, or send it: the address holds the whole job."
TERMINAL = "The same in a terminal"
LINES_FILE = "Put first what stands in {} into the file {}."
JSON = "All numbers (JSON)"
SAME_SPEC = "With the same spec:"

CAUTIONS_TITLE = "Before you tighten"
ALL = "Everything it makes"
PRINTERS = "Printers"
PRINTERS_HEAD = "Correct sheets for a printer that prints too large or too small."

FAULTS = "{} to mend in the list"
FAULT_COLUMNS = ("File", "Row", "Column", "What is wrong")
MORE_FAULTS = "… and {} more."
SKIP_BAD = "Leave these rows out and show the rest"
HELD = "In use: {}. Choose another file to replace it."
USE = "{} on {}, {:.0%} of the area used."
USE_IN_ALL = "{} on {} in {} files."
TEMPLATES = "None yet? Fill in these:"
TEMPLATE_NAMES = {
    "list.xlsx": "list (.xlsx)",
    "sockets.xlsx": "register (.xlsx)",
    "list.csv": "list (.csv)",
    "sockets.csv": "register (.csv)",
}
TOO_LARGE_FILE = "the file {} is too large"
AT_MOST = "at most 2 MB"
SPLIT_IT = "split it"
TOO_MANY = "{:,} pieces, copies counted"
AT_MOST_PIECES = "at most {:,} on this page"
IN_TERMINAL = "split the list, or use the command line"

KNOWN = "Known printers"
NO_PRINTERS = "None yet."
PRINTER_NAME = "A name of your own, such as office."
NEEDED = "{} is missing"
ADD = "Add one"
ADD_STEPS = (
    "Print the proof page at 100 % on the printer and the paper that you will use.",
    "Let the sheet lie for half an hour, then measure it with a steel rule as it says.",
    "Fill in what you measured.",
)
PROOF = "Open the proof page, {}"
PAPER_OF = "Paper of the proof page"
TAKE_PAPER = "Use this paper"
ADD_IT = "Keep this printer"
REMOVE = "Forget {}"
ADDED = "Kept: {}."
ONLY_HERE = (
    "Printers are added and removed at the machine itself on which the page runs, opened there as localhost; not from "
    "here."
)
PRINTERS_UNREADABLE = "The file of printers cannot be read; this page, opened on the machine itself, says why."

REFUSED = {
    400: ("That was not understood", "The browser sent something that is no form of this page."),
    403: (
        "Not from here",
        "A form was sent from another page, or is for the machine itself only. Open this page anew.",
    ),
    404: ("There is no such page", "Look in the list below."),
    405: ("Not in this way", "Open the page anew and use its form."),
    408: ("That took too long", "What the browser sent did not come whole. Try it again."),
    413: ("That is too much", "Files of at most 2 MB are taken."),
    414: ("The address is too long", "Leave something out."),
    421: ("Not under this name", "Use the address that was shown when the page was started."),
    431: ("The address is too long", "Leave something out."),
    500: ("That must not happen", "The fault is in this program; the machine that runs it shows more."),
    503: ("Busy", "Other lists are being drawn. Try again in a few seconds."),
}

# -- on the terminal

NEEDS = (
    "the page needs the packages Werkzeug, Jinja and waitress; run pip install "
    '"werkzeug>=3.1" "jinja2>=3.1" "waitress>=3"'
)
SERVING = "the page is at {}; Ctrl-C ends it"
TO_ALL = (
    "everybody on the network who reaches this machine can use the page, and what is typed travels unencrypted. "
    "Others open {}"
)
PRINTERS_HERE = "printers can still be added at this machine only, which opens {}"
TAKEN = "port {} is taken"
TAKE_NEXT = "Use port {} instead?"
OFFER = "try --port {}"
NEXT_TAKEN = "port {} is taken, so {} it is"
NO_PORT = "cannot listen on {}: {}"
CHECK_HOST = "an address of this machine"

globals().update({name: held(said) for name, said in globals().items() if name.isupper() and not name.startswith("_")})
