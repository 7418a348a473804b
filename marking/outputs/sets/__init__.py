"""Many pieces from a list, packed on pages."""

from ...fields import MARGIN, PAGE, PAPER, PRINTER, RULER, STOCK, TITLE, Field
from ...readouts import READOUTS
from .. import Output

OUTPUT = Output(
    "set",
    __name__,
    f"""Print many pieces from {{@list_file}} (CSV or .xlsx), with an index.

\b
Columns of LIST in any order (without od or around it becomes a trim band):
  id, spec, points, drive, opening, od, around, thread, stock, copies,
  title, kind ({", ".join(READOUTS)}), socket (an id of
  --sockets), witness (fresh, first), start (corner, flat), height,
  fasteners (so many witness pointers)
Units stand in the cells (27.8 mm) or in the heading (OD [mm]).""",
    (
        Field("list_file", "file", "CSV or .xlsx, a row for each piece.", metavar="[LIST]"),
        Field("sockets", "file", "Register of sockets: id, points, drive, opening, od, …", metavar="FILE"),
        Field("turns", "text", 'Turns for every socket: "30°, 60°, 90° +10/-0".', metavar="TURNS"),
        Field("points", "text", 'With {@turns}, instead of a register: "6,12".', metavar="LIST"),
        Field("drive", "text", 'With {@turns}, instead of a register: "3/8,1/2".', metavar="LIST"),
        Field(
            "tags", "choice", "Print a bag label for each: its turns and socket, and its id as a QR code.",
            choices=("socket", "piece"),
        ),
        Field("cards", "flag", "Print a card for each bag too: how to use its pieces."),
        Field(
            "pack", "choice", "Socket after socket on strips across the page, or as tightly as it goes.", "blocks",
            choices=("blocks", "tight"),
        ),
        Field("no_index", "flag", "Leave out the index; a single piece never has one."),
        Field(
            "split_by", "choice", "Write a file for each: NAME-…, one an id, say.", choices=("id", "turn", "socket")
        ),
        Field("only", "text", "Print only these ids of the list.", metavar="ID,ID"),
        Field("socket", "text", "Print only what is for these sockets of the register.", metavar="ID,ID"),
        Field(
            "since", "file", "Print only what is new or changed since this older list (with {@turns}, older register).",
            metavar="FILE",
        ),
        Field(
            "since_sockets", "file", "The register of that older list, if it was another one.", metavar="FILE",
        ),
        Field("unit", "choice", "Unit of lengths without one in {@list_file} or register.", choices=("mm", "cm", "in")),
        TITLE._replace(help="Title of the pages."),
        STOCK,
        PAPER._replace(help="a4, letter, a5, a3, legal, WIDTHxHEIGHT, or tape and labels: 24mm tape, 62x100."),
        MARGIN,
        PRINTER,
        RULER,
        Field("tape_ruler", "flag", "Begin a tape with a check ruler.", group=PAGE),
        Field("labels", "text", "The paper is a sheet of so many labels.", metavar="COLUMNSxROWS", group=PAGE),
        Field("label_size", "text", "Size of a label: 66x34 mm.", metavar="WIDTHxHEIGHT", group=PAGE),
        Field(
            "label_corner", "text", "The first label's corner, from the left and upper edge.",
            usual="labels in the middle", metavar="XxY", group=PAGE,
        ),
        Field(
            "label_pitch", "text", "From label to label, across and down.", usual="the size", metavar="XxY", group=PAGE
        ),
        Field("first_label", "count", "The first free label, along the rows.", 1, low=1, high=1600, group=PAGE),
    ),
    (
        "set list.csv --sockets sockets.csv -o set.pdf",
        'set --turns "30°, 60°, 90° +10/-0" --sockets sockets.csv --tags socket -o common.pdf',
        "set list.csv --paper letter --labels 3x8 --label-size 66x34 --first-label 4 -o labels.pdf",
        'set --turns "90° ±5" --points 6,12 --drive 3/8,1/2 -o stock.pdf',
    ),
)  # fmt: skip
