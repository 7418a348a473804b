"""A class of 12, recomputed from its finished pages: tasks read off the lesson's PDF, answers off that of the key.

Nothing of the library is asked for a number: what follows from a task is worked out here in fractions.
"""

from __future__ import annotations

import re
from fractions import Fraction
from pathlib import Path
from typing import NamedTuple

import pypdfium2
import pytest

from marking import OUTPUTS, save

LESSON = OUTPUTS["lesson"]
SPEC = "110 N·m + 90° +10/-0"
CLASS = [
    "Anna Blau", "Bojan Čech", "Łucja Żak", "Pió Öz", "Mary-Jane O’Neil", "Ωmega Ποπη", "Иван Грозин", "J. D.",
    "Zoë van der Berg", "Åse Ñandú", "K", "Blau, Anna",
]  # fmt: skip
POUND_FOOT = Fraction("0.45359237") * Fraction("9.80665") * Fraction("0.3048")  # N·m, exact (NIST SP 811)


def texts_of(path: Path) -> list[str]:
    with pypdfium2.PdfDocument(path) as document:
        return [" ".join(page.get_textpage().get_text_bounded().split()) for page in document]


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> tuple[list[str], list[str]]:
    """The pages of the trainees and those of the key, as texts of finished files."""
    folder = tmp_path_factory.mktemp("class")
    (folder / "class.txt").write_text("\n".join(CLASS), "utf-8")
    request = LESSON.read(SPEC, seed=41, names=folder / "class.txt", key=str(folder / "key.pdf"))
    files = save(LESSON.draw(LESSON.plan(request)), str(folder / "lesson.pdf"))
    assert files == [str(folder / "lesson.pdf"), str(folder / "key.pdf")]
    return texts_of(folder / "lesson.pdf"), texts_of(folder / "key.pdf")


def found(pattern: str, text: str) -> re.Match[str]:
    match = re.search(pattern, text)
    assert match, f"{pattern} is not in {text[:2000]}"
    return match


def exact(text: str) -> Fraction:
    """2-1/2, 1/16 and 80.4 as fractions."""
    return sum(map(Fraction, text.split("-")), Fraction())


class Task(NamedTuple):
    """What a worksheet gives."""

    name: str
    unit: str
    pitch: Fraction
    around: Fraction
    low: Fraction
    turn: Fraction
    high: Fraction
    points: int
    left: bool
    torque: Fraction
    torque_unit: str
    slack: Fraction
    shown: Fraction
    stopped: Fraction
    readings: tuple[Fraction, ...]


def task_of(text: str) -> Task:
    spec = found(r"spec (\S+) (N·m|lbf·ft), then (\S+)° (?:±(\S+)|\+(\S+)/−(\S+)) socket (\d+)-point", text)
    thread = found(r"thread .*?, (right|left)-hand, (?:pitch (\S+) mm|(\d+) threads per inch) slack (\S+)°", text)
    around = found(r"closes round the socket at (\S+) (mm|in)", text)
    turn, plus, minus = (exact(one) for one in (spec[3], spec[4] or spec[5], spec[4] or spec[6]))
    between = found(r"Inside the window or not\?(.*) 6 The wrench stopped only at (\S+)°", text)
    return Task(
        name=found(r"Name (.*?) Date", text)[1],
        unit=around[2],
        pitch=exact(thread[2]) if thread[2] else 1 / exact(thread[3]),
        around=exact(around[1]),
        low=turn - minus,
        turn=turn,
        high=turn + plus,
        points=int(spec[7]),
        left=thread[1] == "left",
        torque=exact(spec[1]),
        torque_unit=spec[2],
        slack=exact(thread[4]),
        shown=exact(found(r"The mark shows (\S+)°", text)[1]),
        stopped=exact(between[2]),
        readings=tuple(map(exact, re.findall(r"(\S+)° is", between[1]))),
    )


def rounded_from(shown: str, value: Fraction) -> bool:
    """Whether a printed number is a value rounded to the decimals that it shows."""
    return abs(exact(shown) - value) <= Fraction(5, 10 ** (len(shown.partition(".")[2]) + 1))


def check(task: Task, key: str) -> None:
    way, back = ("counterclockwise", "clockwise") if task.left else ("clockwise", "counterclockwise")
    assert f"The socket turns {way}. On the socket the window lies {back} of START, on a part ring {way} of zero" in key

    step = Fraction(360, task.points)
    for name, deg in (("low edge", task.low), ("turn", task.turn), ("high edge", task.high)):
        line = found(rf"{name}: (\d+)° ÷ (\d+)° = (\d+) corners?(?: and (\d+)°)? on from corner 1: (.*?)\. ", key)
        assert [exact(line[1]), exact(line[2]), exact(line[3]), exact(line[4] or "0")] == [
            deg, step, deg // step, deg % step,
        ]  # fmt: skip
        corner = int(deg // step) + 1
        past = {Fraction(0): f"on corner {corner}", step / 2: f"mid-flat between corners {corner} and"}
        assert line[5].startswith(past.get(deg % step, f"{deg % step}° past corner {corner} ("))

    advance = found(r" 4 \S+ (?:mm|in) × (\S+) ÷ 360 = (\S+) (mm|in)\. 5 ", key)
    assert exact(advance[1]) == task.turn
    assert rounded_from(advance[2], task.pitch * task.turn / 360)
    assert advance[3] == task.unit

    judged = re.findall(r"(\d+)° (?:lies in|is below|is above) \S+: (inside|not inside)", key)
    assert [(exact(deg), told == "inside") for deg, told in judged] == [
        (deg, task.low <= deg <= task.high) for deg in task.readings
    ]

    over_deg = task.stopped - task.high
    over = found(r" 6 \S+ − \S+ = (\S+)° past the window\. .*? = (\S+) (?:mm|in) farther", key)
    assert exact(over[1]) == over_deg
    assert rounded_from(over[2], task.pitch * over_deg / 360)

    along = found(r" 7 .*? = (\S+) (mm|in)\. 8 ", key)
    assert rounded_from(along[1], task.around * task.low / 360)

    slack = found(r" 8 .*? = (\S+)°: (inside|not inside)\. 9 ", key)
    assert exact(slack[1]) == task.shown - 2 * task.slack
    assert (slack[2] == "inside") is (task.low <= task.shown - 2 * task.slack <= task.high)

    torque = found(r" 9 .*? = (\S+) (N·m|lbf·ft)\.", key)
    other = task.torque * POUND_FOOT if task.torque_unit == "lbf·ft" else task.torque / POUND_FOOT
    assert torque[2] != task.torque_unit
    assert rounded_from(torque[1], other)

    practice = found(
        r"within (\S+)–(\S+)°.*low edge (\S+), high edge (\S+) of the length.*is (\S+) \S+ and (\S+) ", key
    )
    assert [exact(practice[1]), exact(practice[2])] == [task.low, task.high]
    for k, deg in enumerate((task.low, task.high)):
        assert rounded_from(practice[3 + k], deg / 360)
        assert rounded_from(practice[5 + k], task.around * deg / 360)


def test_every_answer_of_a_class_of_12_follows_from_the_page_of_its_trainee(
    printed: tuple[list[str], list[str]],
) -> None:
    pages, key = printed
    tasks = [task_of(text) for text in pages if "Mark the socket, seen from above" in text]
    parts = re.split(r"Sheet (\d+) of 12 · seed 41 · ", " ".join(key))
    answers = dict(zip(map(int, parts[1::2]), parts[2::2], strict=True))
    assert [task.name for task in tasks] == CLASS
    assert sorted(answers) == list(range(1, 13))
    for number, task in enumerate(tasks, 1):
        assert answers[number].startswith(task.name)
        check(task, answers[number])
    assert len({task.left for task in tasks}) == len({task.unit for task in tasks}) == 2


def test_the_trainees_pages_hold_no_answer_and_the_key_nothing_else(printed: tuple[list[str], list[str]]) -> None:
    pages, key = printed
    assert not any("Answer key" in text or "inside:" in text or "Practice: on" in text for text in pages)
    assert all(text.startswith("Answer key: for the instructor") for text in key)


def test_each_trainee_has_a_worksheet_and_a_practice_page_with_the_name_and_its_own_socket(
    printed: tuple[list[str], list[str]],
) -> None:
    pages, _ = printed
    sheets = [text for text in pages if "Mark the socket, seen from above" in text]
    practice = [text for text in pages if "protractor" in text and "Practise it" in text]
    assert len(pages) == 2 + len(sheets) + len(practice) == 26
    for number, (sheet, page) in enumerate(zip(sheets, practice, strict=True), 1):
        task = task_of(sheet)
        assert f"Sheet {number} of 12 · seed 41 Name {task.name} Date" in page
        assert ("LEFT-HAND" in page) is ("LEFT-HAND" in sheet) is task.left
        od = task.around / Fraction("3.14159") - (Fraction("0.1") if task.unit == "mm" else Fraction("0.004"))
        ods = found(rf"outside diameter of (\S+)–(\S+) {task.unit}", page)
        assert exact(ods[1]) < od < exact(ods[2])
        assert ("turn counterclockwise by eye" in page) is task.left
        assert "demo data, not for real equipment" in page
