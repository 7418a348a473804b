"""What goes to a cutter or an engraver, as it stands in the finished file: marks at their places, outlines closed."""

from __future__ import annotations

import functools
import io
import math
import tomllib
from pathlib import Path
from xml.etree import ElementTree

import dxfgrabber
import numpy as np
import pypdfium2
import pytest
import resvg_py
import shapely
from PIL import Image, ImageChops, ImageDraw, ImageFilter

from kit.commands import Run
from kit.dxf_reading import Entity, entities, header
from kit.each import each
from kit.measure import SVG, a_job, document_of
from marking import save
from marking.drawing.fonts import REGULAR, SEMIBOLD
from marking.drawing.primitives import Document, Drawing, Group, Page, Placed, Text
from marking.drawing.strokes import CUT, CUTS, STROKES
from marking.errors import OutputError, RangeError
from marking.files import formats
from marking.files.cutting import cut_out, dashes
from marking.files.dxf import dxf_bytes
from marking.files.pdf import pdf_bytes
from marking.files.svg import svg_bytes
from marking.outputs.job.band_plan import JobPlan, plan_job
from marking.readouts.band.figure import draw_band
from marking.readouts.part_ring.figure import draw_ring
from marking.readouts.witness_pointer import Pointer, draw_pointer

BENCH = [("12 mm", "left"), ("45 mm", "right"), ("45 mm", "left"), ("96 mm", "right")]
"""A small, a middle and a large socket, either way round."""

SPEC = "45 N·m + 60° ±20"


@functools.cache
def job(od: str = "45 mm", thread: str = "right") -> JobPlan:
    return plan_job(a_job(SPEC, od=od, thread=thread, ring="sector", paper="a3"))


@functools.cache
def drawn(od: str = "45 mm", thread: str = "right") -> Document:
    """A band, a sector of a ring where the socket has one, and a disc, without all else that is on pages."""
    plan = job(od, thread)
    found = [(draw_band(plan.bands[0], ()).pieces[0], 20.0, 220.0)]
    found += [(draw_ring(ring), 20.0, 20.0) for ring in plan.rings if ring is not None]
    strips = Page(420.0, 297.0, tuple(Placed(*one) for one in found))
    disc = document_of("disc", spec=SPEC, drive="1/2", thread=thread)
    return Document((strips, *disc.pages[:1]))


@functools.cache
def cut_file(
    od: str = "45 mm", thread: str = "right", pieces: str = "all", kerf: str = "0 mm", letters: bool = False
) -> bytes:
    """The first page of pieces; its letters, most of a file, are written where they are looked at."""
    document = cut_out(drawn(od, thread), pieces, kerf)
    page = document.pages[0]
    return dxf_bytes(page if letters else unlettered(page), document)


def unlettered(page: Page) -> Page:
    """A page of pieces without its letters."""
    (placed,) = page.placed
    layers = tuple(item for item in placed.drawing.content.items if isinstance(item, Group) and item.name != "text")
    drawing = placed.drawing._replace(content=Group(placed.drawing.content.name, layers))
    return page._replace(placed=(placed._replace(drawing=drawing),))


def layer(content: bytes, name: str) -> list[Entity]:
    return [entity for entity in entities(content) if entity.layer == name]


def doubled(found: list[Entity]) -> list[float]:
    """How much of two lines lies on each other, of any two."""
    lines = [entity.line for entity in found]
    pairs = shapely.STRtree(lines).query(np.array(lines, dtype=object), "intersects").T
    shared = (lines[a].intersection(lines[b]).length for a, b in pairs if a < b)
    return [length for length in shared if length > 0.02]


@pytest.mark.parametrize(("od", "thread"), BENCH)
def test_every_mark_of_a_band_is_where_the_plan_has_it(od: str, thread: str) -> None:
    (band,) = job(od, thread).bands
    content = cut_file(od, thread)
    outline = max(layer(content, "cut"), key=lambda entity: min(y for _, y in entity.points))
    left, foot, right, _ = outline.polygon.bounds
    upright = [e.points for e in layer(content, "mark") if abs(e.points[0][0] - e.points[-1][0]) < 1e-6]
    at_foot = sorted(points[0][0] - left for points in upright if min(y for _, y in points) == pytest.approx(foot))
    stage = band.stages[0]
    for deg in (0.0, *(mark.deg for mark in stage.marks), *(feature.deg for feature in band.features)):
        nearest = min(abs(x - band.x_of(deg)) for x in at_foot)
        assert nearest < 0.005, deg
    low, high = sorted(band.x_of(mark.deg) for mark in stage.marks if mark.kind != "aim")
    assert (low > band.x_of(0)) is (thread == "right") or od == "12 mm"
    longest = max(math.dist(p[0], p[-1]) for p in upright)
    bold = sorted({round(p[0][0] - left, 3) for p in upright if math.dist(p[0], p[-1]) > 0.98 * longest})
    assert {round(x, 3) for x in (band.x_of(0), low, high)} <= set(bold)
    assert right - left > band.length_mm


def test_two_readers_find_the_same_layers_lines_and_units() -> None:
    content = cut_file()
    other = dxfgrabber.read(io.StringIO(content.decode("ascii")))
    assert (header(content, "$INSUNITS"), other.header["$INSUNITS"]) == ("4", 4)
    assert {one.name for one in other.layers} >= {"cut", "fold", "mark", "text"}
    mine = [(entity.kind, entity.layer) for entity in entities(content)]
    assert mine == [(entity.dxftype, entity.layer) for entity in other.entities]
    ends = [entity.points for entity in entities(content) if entity.kind == "LINE"]
    assert ends == [[e.start[:2], e.end[:2]] for e in other.entities if e.dxftype == "LINE"]


@each(("od", "thread", "pieces"), [*((*one, "all") for one in BENCH), ("45 mm", "right", "disc")])
def test_outlines_are_closed_and_no_line_is_there_twice(od: str, thread: str, pieces: str) -> None:
    content = cut_file(od, thread, pieces)
    cuts = layer(content, "cut")
    slits = [entity for entity in cuts if not entity.closed]
    assert len(cuts) >= 2
    assert len(slits) == (od == "12 mm"), "of a ring all the way round"
    assert all(entity.polygon.is_valid and entity.polygon.area > 50 for entity in cuts if entity.closed)
    assert doubled(cuts + layer(content, "mark")) == []


def test_a_band_is_one_outline_around_all_its_marks() -> None:
    content = cut_file("12 mm", "left", "band", letters=True)
    (outline,) = layer(content, "cut")
    assert len(outline.points) == 4
    paper = outline.polygon.buffer(0.01)
    assert all(paper.covers(entity.line) for name in ("mark", "text") for entity in layer(content, name))


@each("output", ["tape", "blank", "trim"])
def test_other_strips_are_single_outlines_too_and_nothing_is_burnt_twice(output: str) -> None:
    asked = {
        "tape": {"high": "100 mm"},
        "blank": {"points": "12", "drive": "1/2", "od_range": "20 mm..24 mm"},
        "trim": {"spec": "90° ±15", "points": "6", "drive": "1/2", "od_range": "20 mm..24 mm"},
    }[output]
    document = cut_out(
        document_of("job" if output == "trim" else output, **asked), "all" if output == "tape" else "band"
    )
    for page in document.pages:
        content = dxf_bytes(unlettered(page), document)
        cuts = layer(content, "cut")
        assert cuts
        assert all(entity.closed and entity.polygon.is_valid for entity in cuts)
        marks = [entity for entity in layer(content, "mark") if len(entity.points) != 3]  # pointers are filled
        assert doubled(cuts + marks) == []


def test_folds_of_a_pointer_are_in_their_own_layer_and_solid() -> None:
    page = Page(30.0, 30.0, (Placed(draw_pointer(Pointer("1", "", True)), 5.0, 5.0),))
    content = dxf_bytes(page, Document((page,)))
    assert [len(layer(content, name)) for name in ("fold", "cut")] == [3, 1]


def test_the_kerf_widens_a_disc_and_narrows_its_hole_and_moves_no_mark() -> None:
    plain, cut = (cut_file(pieces="disc", kerf=kerf) for kerf in ("0 mm", "0.15 mm"))
    assert layer(plain, "mark") == layer(cut, "mark") != []
    (hole, rim), (small, large) = (
        sorted((entity.polygon for entity in layer(content, "cut")), key=lambda area: float(area.area))
        for content in (plain, cut)
    )
    assert np.subtract(large.bounds, rim.bounds) == pytest.approx([-0.075, -0.075, 0.075, 0.075])
    assert np.subtract(small.bounds, hole.bounds) == pytest.approx([0.075, 0.075, -0.075, -0.075])
    assert (len(small.exterior.coords), len(hole.exterior.coords)) == (5, 5)


def test_a_kerf_that_would_cut_into_the_next_piece_is_refused() -> None:
    drawn = draw_pointer(Pointer("1", "", True))
    page = Page(60.0, 30.0, tuple(Placed(drawn, 5.0 + number * (drawn.width_mm + 0.3), 5.0) for number in range(2)))
    document = Document((page,))
    assert len(layer(dxf_bytes(cut_out(document, "pointer", "0.25 mm").pages[0], document), "cut")) == 2
    with pytest.raises(OutputError, match=r"a kerf of 0\.4 mm cuts into the piece beside it"):
        cut_out(document, "pointer", "0.4 mm")


def test_an_edge_that_two_pieces_share_is_cut_once_and_takes_no_kerf() -> None:
    drawn = draw_pointer(Pointer("1", "", True))
    page = Page(60.0, 30.0, tuple(Placed(drawn, 5.0 + number * drawn.width_mm, 5.0) for number in range(2)))
    document = Document((page,))
    cuts = layer(dxf_bytes(page, document), "cut")
    assert sum(cut.line.length for cut in cuts) == pytest.approx(4 * drawn.width_mm + 3 * drawn.height_mm)
    assert len(shapely.polygonize([cut.line for cut in cuts]).geoms) == 2
    with pytest.raises(OutputError, match="cuts into the piece beside it"):
        cut_out(document, "pointer", "0.1 mm")


def test_the_kerf_goes_outwards_all_round_a_sector() -> None:
    (plain,), (cut,) = ([e.polygon for e in layer(cut_file(pieces="ring", kerf=k), "cut")] for k in ("0 mm", "0.2 mm"))
    assert plain.hausdorff_distance(cut) < 0.2 * math.sqrt(0.5) + 0.01, "its corners go farther"
    assert cut.area - plain.area == pytest.approx(0.1 * plain.length, rel=0.01)
    assert plain.exterior.distance(cut.exterior) == pytest.approx(0.1, abs=0.001)


def test_a_ring_is_a_circle_with_a_hole_and_a_slit() -> None:
    (ring,) = plan_job(a_job("90° ±30", od="45 mm", ring="full")).rings
    assert ring is not None
    page = Page(200.0, 200.0, (Placed(draw_ring(ring), 5.0, 5.0),))
    cuts = layer(dxf_bytes(page, Document((page,))), "cut")
    assert sorted((entity.kind, len(entity.points)) for entity in cuts if not entity.closed) == [("LWPOLYLINE", 2)]
    assert [entity.kind for entity in cuts if entity.closed] == ["CIRCLE", "CIRCLE"]


def test_bores_of_which_each_socket_has_its_own_are_marks() -> None:
    asked = {"spec": "90° ±30", "points": "6", "drive": "1/2", "od_range": "20 mm..24 mm", "ring": "full"}
    document = cut_out(document_of("job", **asked), "ring")
    found = layer(dxf_bytes(document.pages[0], document), "cut")
    assert [entity.kind for entity in found] == ["CIRCLE", "LWPOLYLINE"]


WORDS = Page(60, 40, (Placed(Drawing(60, 40, Group("words", (
    Text(5, 5, "START 69 FR", 14), Text(55, 30, "STOP 90–100°", 11, SEMIBOLD, "end"),
    Text(10, 15, "häÅ§ µ", 9, REGULAR, "middle", 70.0),
))), 0, 0),))  # fmt: skip


def assert_prints_the_same(letters: Image.Image) -> None:
    """A picture of `WORDS`, in black on white, has the ink of the printed page, but for a pixel at its edges."""
    scale = 20 * 25.4 / 72
    printed = pypdfium2.PdfDocument(pdf_bytes(Document((WORDS,))))[0].render(scale=scale, grayscale=True).to_pil()
    ink, found = 255 - np.asarray(printed), np.asarray(letters.convert("L")) < 128
    near = 255 - np.asarray(printed.filter(ImageFilter.MinFilter(3)))
    assert (ink == 255).sum() > 10_000
    assert found[ink == 255].mean() > 0.99
    assert (near[found] > 0).all()


def test_letters_are_outlines_of_the_very_shape_that_prints() -> None:
    letters = Image.new("1", (1200, 800), 1)
    for outline in layer(dxf_bytes(WORDS, Document((WORDS,))), "text"):
        one = Image.new("1", letters.size)
        ImageDraw.Draw(one).polygon([(x * 20, (WORDS.height_mm - y) * 20) for x, y in outline.points], fill=1)
        letters = ImageChops.logical_xor(letters, one)
    assert_prints_the_same(letters)


def test_an_svg_of_outlines_needs_no_font_and_looks_the_same() -> None:
    svg = svg_bytes(WORDS, Document((WORDS,)), text="outlines").decode()
    root = ElementTree.fromstring(svg)
    assert not list(root.iter(f"{SVG}text"))
    assert [path.get("aria-label") for path in root.iter(f"{SVG}path")] == ["START 69 FR", "STOP 90–100°", "häÅ§ µ"]
    png = resvg_py.svg_to_bytes(svg_string=svg, background="white", dpi=20 * 25.4, skip_system_fonts=True)
    assert_prints_the_same(Image.open(io.BytesIO(bytes(png))))


def test_pieces_of_an_svg_stand_alone_with_their_cuts_in_one_group(run: Run, tmp_path: Path) -> None:
    done = run("disc", "90° ±5", "--drive", "1/2", "--pieces", "disc", "--text", "outlines", "-o", "x.svg")
    assert done.stdout.endswith("wrote x.svg: 1 page, A4.\n"), "no rulers to measure are on it"
    root = ElementTree.parse(tmp_path / "x.svg").getroot()
    (layers,) = root.findall(f"{SVG}g")
    assert [group.get("class") for group in layers] == ["mark", "text", "fold", "cut"]
    assert sorted(one.tag.removeprefix(SVG) for one in layers[3]) == ["circle", "polygon"]
    assert {(one.get("stroke"), one.get("stroke-dasharray")) for one in layers[3]} == {("#ff0000", None)}
    assert not [one for one in root.iter() if one.get("stroke-dasharray")]


def test_an_aim_line_stays_dashed_where_machines_know_no_dashes() -> None:
    runs = list(dashes([(0, 0), (10, 0)], (2.0, 1.0)))
    assert runs == [((0, 0), (2, 0)), ((3, 0), (5, 0)), ((6, 0), (8, 0)), ((9, 0), (10, 0))]


def test_whatever_scissors_follow_is_cut_but_what_each_socket_has_of_its_own() -> None:
    assert {role for role, stroke in STROKES.items() if stroke == CUT} - CUTS == {"bore", "tab-line"}


def test_files_are_the_same_from_run_to_run() -> None:
    first, again = (dxf_bytes(WORDS, Document((WORDS,))) for _ in range(2))
    assert first == again
    assert header(first, "$TDCREATE").startswith("2451545")


def test_a_set_gives_its_pieces_alone(run: Run, tmp_path: Path) -> None:
    (tmp_path / "list.csv").write_text("id,spec,points,drive,od\nA,90° ±5,6,1/2,30 mm\n")
    done = run("set", "list.csv", "--tags", "socket", "--pieces", "band", "-o", "set.dxf")
    assert (done.stdout, done.returncode) == ("wrote set.dxf: only band.\n", 0), done.stderr
    assert len(layer((tmp_path / "set.dxf").read_bytes(), "cut")) == 1


@pytest.mark.parametrize(("asked", "said"), [
    (["--pieces", "bands"], "no piece is called 'bands'; expected band, ring, disc, mat, pointer, tape, tag, all"),
    (["--pieces", "band,mat"], "there is no mat on these pages; expected band, pointer; check --pieces"),
    (["--kerf", "0.1 mm"], "--kerf is given without --pieces; expected which pieces a machine cuts"),
    (["--pieces", "band", "--kerf", "3 mm"], "the kerf is 3 mm; expected 0 to 2 mm; check --kerf"),
    (["--text", "outlines"], "--text says nothing of a .dxf file; expected a name that ends in .svg; leave --text out"),
    (["--dpi", "300"], "--dpi says nothing of a .dxf file; expected a name that ends in .png"),
])  # fmt: skip
def test_what_cannot_be_cut_is_refused(run: Run, tmp_path: Path, asked: list[str], said: str) -> None:
    done = run("job", "90° ±5", "--points", "6", "--drive", "1/2", "--od", "30 mm", *asked, "-o", "x.dxf")
    assert (done.returncode, said in done.stderr) == (1, True), done.stderr
    assert not list(tmp_path.iterdir())


def test_what_is_said_of_a_file_needs_one(run: Run) -> None:
    done = run("disc", "90° ±5", "--drive", "1/2", "--pieces", "disc")
    assert (done.returncode, "say with -o which file to write, or leave out --pieces" in done.stderr) == (2, True)


def test_pages_corrected_for_a_printer_never_go_to_a_cutter() -> None:
    page = WORDS._replace(stretched=True)
    with pytest.raises(OutputError, match="corrected for a printer, and would be cut to a wrong size"):
        dxf_bytes(page, Document((page,)))


@pytest.mark.parametrize(("name", "asked"), [
    ("x.dxf", {}), ("x.svg", {"text": "outlines"}), ("x.pdf", {"pieces": "disc"}),
])  # fmt: skip
def test_what_is_not_installed_is_said_with_its_install_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, asked: dict[str, str]
) -> None:
    monkeypatch.setattr(formats, "is_there", lambda module: module != "shapely")
    with pytest.raises(OutputError, match=r'needs shapely; run pip install "shapely>=2\.0"'):
        save(Document((WORDS,)), str(tmp_path / name), **asked)
    assert not list(tmp_path.iterdir())


def test_a_kerf_beyond_belief_is_refused() -> None:
    with pytest.raises(RangeError, match="the kerf is 20 mm; expected 0 to 2 mm"):
        cut_out(drawn(), "disc", "20 mm")


@each(("extra", "suffix"), [("dxf", ".dxf"), ("picture", ".png")])
def test_the_extras_bring_what_the_formats_say_they_need(extra: str, suffix: str) -> None:
    project = tomllib.loads((Path(__file__).parents[2] / "pyproject.toml").read_text("utf-8"))["project"]
    assert [needed for _, needed in formats.FORMATS[suffix].needs] == project["optional-dependencies"][extra]
