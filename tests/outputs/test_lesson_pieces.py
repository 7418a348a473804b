"""What a class is made of: names, units and threads, a key apart, pieces to practise with that point the right way."""

from __future__ import annotations

import itertools
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from openpyxl import Workbook

from kit.collisions import check
from kit.commands import Run
from kit.each import each
from kit.measure import drawn_groups, only, placed_texts, strokes
from kit.turning import Vector, tightened
from marking import OUTPUTS, MarkingError
from marking.drawing.primitives import Document, Page
from marking.outputs.lesson.exercise import draw_exercise
from marking.outputs.lesson.practice import LEAST_PAPER_MM
from marking.sheets.paper import Paper

LESSON = OUTPUTS["lesson"]
SPEC = "110 N·m + 90° +10/-0"


def a_document(**more: Any) -> Document:
    return LESSON.draw(LESSON.plan(LESSON.read(SPEC, **more)))


def names_of(given: Any, **more: Any) -> tuple[str, ...]:
    found: tuple[str, ...] = LESSON.read(SPEC, names=given, **more).names
    return found


# -- names


@each(
    ("content", "expected"),
    [
        ("Anna\nBojan\n", ["Anna", "Bojan"]),
        ("\ufeffName\r\nAnna\r\n\r\nBojan\r\n", ["Anna", "Bojan"]),
        ("Blau, Anna\nČech, Bojan", ["Blau, Anna", "Čech, Bojan"]),
        ("no;Name;depot\n1;Anna;Nord\n2;;\n3;Bojan;Süd", ["Anna", "Bojan"]),
        ("Nachname;Vorname\nBlau;Anna\nČech;Bojan", ["Anna Blau", "Bojan Čech"]),
        ("first name\tlast name\nAnna\tBlau", ["Anna Blau"]),
        ("  Anna   Blau ", ["Anna Blau"]),
        ("Class of autumn\n\nName;depot\nAnna;Nord\nBojan;Süd", ["Anna", "Bojan"]),
    ],
)
def test_names_are_a_name_a_line_or_a_column_of_a_table(tmp_path: Path, content: str, expected: list[str]) -> None:
    path = tmp_path / "class.csv"
    path.write_text(content, "utf-8")
    assert names_of(path) == tuple(expected)
    assert names_of(content.removeprefix("\ufeff")) == tuple(expected)


def test_names_are_read_from_workbooks_and_in_old_encodings(tmp_path: Path) -> None:
    book = Workbook()
    for row in (["Name", "Depot"], ["Anna", "Nord"], ["Čech", "Süd"]):
        book.active.append(row)
    book.save(tmp_path / "class.xlsx")
    assert names_of(tmp_path / "class.xlsx") == ("Anna", "Čech")
    (tmp_path / "utf16.txt").write_text("Łucja\nŻak", "utf-16")
    assert names_of(tmp_path / "utf16.txt") == ("Łucja", "Żak")
    (tmp_path / "old.txt").write_text("Jörg\nRené", "cp1252")
    plan = LESSON.plan(LESSON.read(SPEC, names=tmp_path / "old.txt", no_practice=True))
    assert plan.lesson.names == ("Jörg", "René")
    assert "Jörg" in " ".join(map(str, plan.warnings)), "whoever reads it sees whether the guess was right"


@each(
    ("given", "words"),
    [
        ("", "is empty"),
        (" \n\n", "is empty"),
        ("Name\n", "holds no names"),
        ("Anna\n" * 61, "61 names; expected at most 60"),
        ("1;Anna;Nord\n2;Bojan;Süd", "no heading over the names"),
        ("1, Anna, Nord", "no heading over the names"),
        ("12", "for a name in row 1; expected letters"),
        ("Anna\n日本", r"the name in row 2 holds U\+65E5"),
        ("x" * 61, "expected at most 60"),
        ("class.csv", "the only name is 'class.csv'"),
        ('"Anna', "cannot be read in row 1"),
        (Path("nowhere.csv"), "does not exist"),
    ],
)
def test_names_that_cannot_be_are_refused_at_their_field(given: Any, words: str) -> None:
    with pytest.raises(MarkingError, match=words) as refused:
        names_of(given)
    assert refused.value.field == "names"


def test_there_are_as_many_trainees_as_names_unless_more_are_asked_for() -> None:
    assert LESSON.read(SPEC).trainees == 12
    assert LESSON.read(SPEC, names="A\nB\nC").trainees == 3
    more = LESSON.read(SPEC, names="A\nB\nC", trainees=5)
    assert [more.name_of(number) for number in range(1, 6)] == ["A", "B", "C", "", ""]
    with pytest.raises(MarkingError, match="3 names for 2 trainees"):
        LESSON.read(SPEC, names="A\nB\nC", trainees=2)


def test_the_longest_names_stand_on_their_sheets_and_touch_nothing() -> None:
    name = "Ŵilhelmine-Maximiliane von und zu Ŵeitenhausen-Ŵiesengrund"
    for paper in ("a4", "a5"):
        document = a_document(names=f"{name}\n{name}\n{name}", paper=paper, key="key.pdf")
        check(document)
        check(document.apart[0][1])
        words = " ".join(text.text for page in document.pages for text in placed_texts(page))
        assert words.count("Ŵilhelmine-Maximiliane") == (9 if paper == "a5" else 6), "three pages each, or two"


def test_whoever_types_the_name_of_a_file_reads_no_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "secret").write_text("Anna\nBojan", "utf-8")
    monkeypatch.chdir(tmp_path)
    assert names_of("secret") == ("secret",)


# -- units and threads


@each(("units", "kinds"), [("metric", {"mm"}), ("inch", {"in"}), ("both", {"mm", "in"})])
def test_worksheets_deal_with_the_units_asked_for(units: str, kinds: set[str]) -> None:
    sheets = [draw_exercise(5, number, units) for number in range(1, 15)]
    assert {sheet.around.unit for sheet in sheets} == kinds
    assert {sheet.thread.unit for sheet in sheets} == kinds
    assert {"in" if sheet.snug.unit == "lbf·ft" else "mm" for sheet in sheets} == kinds
    assert all(a.thread != b.thread for a, b in itertools.pairwise(sheets)), "neighbours differ"


@each(("threads", "ways"), [("right", {True}), ("left", {False}), ("both", {True, False})])
def test_worksheets_deal_with_the_threads_asked_for(threads: str, ways: set[bool]) -> None:
    plan = LESSON.plan(LESSON.read(SPEC, threads=threads, no_practice=True))
    assert {sheet.spec.clockwise for sheet in plan.exercises} == ways
    assert {answers.clockwise for answers in plan.answers} == ways


def test_units_and_threads_change_no_sheet_of_a_class_that_has_both() -> None:
    assert draw_exercise(9, 4, "both", "both") == draw_exercise(9, 4)
    with pytest.raises(MarkingError, match="expected metric or inch or both"):
        LESSON.read(SPEC, units="feet")


# -- the key, and what becomes of the pages


def test_one_command_writes_key_and_sheets_and_says_what_to_do_with_which(run: Run, tmp_path: Path) -> None:
    (tmp_path / "class.txt").write_text("Anna\nBojan\nŁucja\n", "utf-8")
    done = run("lesson", SPEC, "--names", "class.txt", "--key", "key.pdf", "-o", "lesson.pdf")
    assert done.returncode == 0, done.stderr
    assert done.stdout.splitlines() == [
        "wrote lesson.pdf, key.pdf: 9 pages, A4. Print at 100 %, then measure both rulers.",
        "Pages 1–2: print 3 times, a handout for each trainee. Pages 3–5: print once, a worksheet for each. Pages 6–8: "
        "print once, at 100 %, a practice page for each, to be cut up. key.pdf: the answer key, for the instructor.",
    ]
    document = a_document(names="Anna\nBojan\nŁucja", key="key.pdf")
    heads = [{text.text for text in placed_texts(page)} for page in document.pages]
    assert "Why turn, when there is a torque?" in heads[0]
    assert [k for k, head in enumerate(heads, 1) if "Practise it" in head] == [6, 7, 8]
    assert [k for k, head in enumerate(heads, 1) if "Inside the window or not?" in head] == [3, 4, 5]


def test_without_a_file_for_it_the_key_is_the_last_pages_and_the_terminal_says_which(run: Run) -> None:
    done = run("lesson", SPEC, "--trainees", "1", "--no-practice", "-o", "lesson.pdf")
    assert done.stdout.splitlines()[1] == (
        "Pages 1–2: print once, a handout for each trainee. Page 3: print once, a worksheet for each. Page 4: the "
        "answer key, for the instructor."
    )


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("key.txt", "a name that ends in .pdf or .svg"),
        ("lesson.pdf", "'lesson.pdf' is one of the files of 'lesson.pdf'"),
        ("nowhere/key.pdf", "cannot write 'nowhere/key.pdf'"),
    ],
)
def test_a_key_that_cannot_be_written_leaves_nothing_behind(run: Run, tmp_path: Path, key: str, words: str) -> None:
    done = run("lesson", SPEC, "--trainees", "1", "--key", key, "-o", "lesson.pdf")
    assert (done.returncode, done.stdout) == (1, "")
    assert words in done.stderr
    assert not list(tmp_path.iterdir())


def test_stdout_takes_no_key_beside_the_sheets(run: Run, tmp_path: Path) -> None:
    done = run("lesson", SPEC, "--trainees", "1", "--key", "key.pdf", "-o", "-")
    assert (done.returncode, done.stdout) == (1, "")
    assert "without key.pdf" in done.stderr
    assert not list(tmp_path.iterdir())


def test_the_page_in_a_browser_takes_typed_names_and_gives_the_key_away_apart() -> None:
    from werkzeug.test import Client

    from turnband.page import application

    client = Client(application((), printers=True))
    here = "http://127.0.0.1:8080/"
    given = {"spec": SPEC, "names": "Anna\r\nŁucja", "key": "key.pdf", "no_practice": "1"}
    answer = client.get("/lesson", base_url=here, query_string=given)
    assert answer.status_code == 200
    assert ">Łucja</text>" in answer.text
    assert "Pages 1–2: print 2 times" in answer.text
    assert "/lesson/key.pdf?" in answer.text
    key = client.get("/lesson/key.pdf", base_url=here, query_string=given)
    assert (key.status_code, key.data[:5], key.mimetype) == (200, b"%PDF-", "application/pdf")
    assert client.get("/lesson/other.pdf", base_url=here, query_string=given).status_code == 404


# -- practice pages


def outwards(stroke: Any, centre: Vector) -> Vector:
    """The direction of a radial line, away from a centre."""
    ends = sorted(
        (np.array([x, y]) for x, y in ((stroke.x1, stroke.y1), (stroke.x2, stroke.y2))),
        key=lambda end: float(np.linalg.norm(end - centre)),
    )
    way = (ends[1] - centre) / np.linalg.norm(ends[1] - centre)
    return np.array([*way, 0.0])


def degree(lines: list[Any], deg: int) -> Any:
    (found,) = [line for line in lines if line.role == "degree" and line.data.get("deg") == str(deg)]
    return found


def centre_of(lines: list[Any], role: str) -> Vector:
    """Where zero's line and the degree across from it meet that a quarter turn away and its own."""
    rows, values = [], []
    for line in [only(lines, role), degree(lines, 90), degree(lines, 180), degree(lines, 270)]:
        normal = np.array([line.y2 - line.y1, line.x1 - line.x2])
        normal /= np.linalg.norm(normal)
        rows.append(normal)
        values.append(normal @ np.array([line.x1, line.y1]))
    return np.asarray(np.linalg.lstsq(np.array(rows), np.array(values), rcond=None)[0])


@each("thread", ["right", "left"])
def test_after_a_turn_start_stands_on_that_degree_of_the_card_and_the_mats_mark_where_start_was(thread: str) -> None:
    """A socket is turned on the drawn card as its thread tightens; the marks carried up from the mat turn with it."""
    document = a_document(threads=thread, trainees=1)
    (card,) = [group for group in drawn_groups(document, "part-ring") if "protractor" in "".join(group.itertext())]
    lines = strokes(card)
    centre = centre_of(lines, "zero")
    for deg in (60, 150, 240):
        assert np.allclose(
            tightened(outwards(only(lines, "zero"), centre), deg, thread),
            outwards(degree(lines, deg), centre),
            atol=1e-3,
        )
    (mat,) = drawn_groups(document, "mat")
    lines = strokes(mat)
    centre = centre_of(lines, "start")
    for deg in (60, 150, 240):
        assert np.allclose(
            tightened(outwards(degree(lines, deg), centre), deg, thread),
            outwards(only(lines, "start"), centre),
            atol=1e-3,
        )


def test_left_hand_stands_white_on_black_on_every_page_that_has_to_do_with_such_a_thread() -> None:
    document = a_document(thread="left", trainees=3, seed=7, key="key.pdf")
    pages = [[text.text for text in placed_texts(page)] for page in (*document.pages, *document.apart[0][1].pages)]
    lefts = [draw_exercise(7, number).spec.clockwise is False for number in (1, 2, 3)]
    found = [page.count("LEFT-HAND") for page in pages]
    assert found[:2] == [0, 1], "the worked example"
    assert found[2:5] == [int(left) for left in lefts]
    assert [count >= 4 for count in found[5:8]] == lefts, "band, mat, card and what stays"
    assert found[8:] == [sum(lefts)] == [1], "the key"


def test_what_stays_of_a_practice_page_says_what_is_dangerous() -> None:
    words = " ".join(text.text for text in placed_texts(a_document(trainees=1).pages[3]))
    for said in ("never with an impact wrench", "eye protection", "nothing to a torque", "manual decides"):
        assert said in words


def test_practice_pages_have_rulers_and_no_other_page_has() -> None:
    document = a_document(trainees=2)
    measured = []
    for number, page in enumerate(document.pages, 1):
        words = " ".join(text.text for text in placed_texts(page))
        if "measure both rulers: 100 mm" in words:
            measured.append(number)
    assert measured == [5, 6]


def practice_pages(document: Document) -> list[Page]:
    texts = (" ".join(text.text for text in placed_texts(page)) for page in document.pages)
    return [
        page
        for page, text in zip(document.pages, texts, strict=True)
        if "Practise it" in text or "Practice mat" in text
    ]


@each(("units", "trainees"), [("metric", 9), ("inch", 5)])
def test_the_practice_of_any_socket_is_one_page_of_a4_and_letter(units: str, trainees: int) -> None:
    """183 mm by 249 mm lie within both: one's width and the other's height. Left-hand threads have more to say."""
    class_of = {"trainees": trainees, "units": units, "threads": "left", "key": "key.pdf"}
    pages = practice_pages(a_document(paper=paper_of(183.0, 249.0), **class_of))
    assert len(pages) == trainees
    check(Document(tuple(pages)))


def test_the_least_paper_holds_the_pieces_and_has_the_steps_on_a_page_of_their_own() -> None:
    pages = practice_pages(a_document(trainees=5, units="inch", threads="left", paper=paper_of(*LEAST_PAPER_MM)))
    assert 5 < len(pages) <= 10


def paper_of(width_mm: float, height_mm: float) -> Paper:
    """Paper with so much room between its margins."""
    bare = Paper(300.0, 300.0)
    return Paper(300.0 - bare.content_width_mm + width_mm, 300.0 - bare.content_height_mm + height_mm)


def test_paper_too_small_for_the_pieces_goes_without_them_and_says_so() -> None:
    plan = LESSON.plan(LESSON.read(SPEC, trainees=1, paper="a5"))
    assert [warning.code for warning in plan.warnings] == ["practice-left-out"]
    assert plan.practices == ()
    assert "practice page" not in LESSON.draw(plan).use
