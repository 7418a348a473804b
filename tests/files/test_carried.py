"""The command that a file carries: whole in every format, kept by other programs, and safe to look for in any file."""

from __future__ import annotations

import io
import os
import xml.etree.ElementTree as ET
from pathlib import Path

import pikepdf
import pypdf
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.each import each
from kit.examples import ANY
from marking.drawing.primitives import Document, Page
from marking.errors import MarkingError
from marking.files.carried import CHUNK_BYTES, MAX_COMMAND, CarriedError, carried_command
from marking.files.formats import save
from marking.files.pdf import pdf_bytes
from marking.files.svg import svg_bytes

COMMAND = """turnband job "110 N·m + 90° +10/−0" --title 'a & <b> "c" $d ]]>' -o again.pdf"""
PAGE = Page(210.0, 297.0, ())
HELD = '<turnband:command xmlns:turnband="urn:turnband">{}</turnband:command>'


@each("suffix", [".pdf", ".svg"])
def test_a_file_gives_back_its_command_as_it_was(tmp_path: Path, suffix: str) -> None:
    path = tmp_path / f"x{suffix}"
    save(Document((PAGE,), "title", "subject", COMMAND), str(path))
    assert carried_command(str(path)) == COMMAND
    save(Document((PAGE,), "title", "subject"), str(path))
    with pytest.raises(CarriedError, match="carries no command"):
        carried_command(str(path))


def test_other_programs_keep_it(tmp_path: Path) -> None:
    own = pdf_bytes(Document((PAGE,), command=COMMAND))
    whole, joined = tmp_path / "whole.pdf", tmp_path / "joined.pdf"
    with pikepdf.open(io.BytesIO(own)) as file:
        file.save(whole, object_stream_mode=pikepdf.ObjectStreamMode.generate, recompress_flate=True, linearize=True)
    pypdf.PdfWriter(clone_from=io.BytesIO(own)).write(joined)
    assert carried_command(str(whole)) == carried_command(str(joined)) == COMMAND


def test_readers_of_metadata_find_it() -> None:
    with pikepdf.open(io.BytesIO(pdf_bytes(Document((PAGE,), command=COMMAND)))) as file, file.open_metadata() as found:
        assert found["{urn:turnband}command"] == COMMAND


@given(st.text(ANY))
def test_whatever_a_command_holds_files_stay_sound(command: str) -> None:
    """A command may name a list of any name; what XML cannot hold is not carried."""
    root = ET.fromstring(svg_bytes(PAGE, Document((), command=command)))
    found = root.findtext("{http://www.w3.org/2000/svg}metadata/{urn:turnband}command")
    assert found in (None, command.replace("\r\n", "\n").replace("\r", "\n"))
    pikepdf.open(io.BytesIO(pdf_bytes(Document((PAGE,), command=command)))).close()


@each(
    "content",
    [
        b"", b"%PDF-1.6", b"\0" * 3000, HELD.format("").encode(), HELD.format("x")[:-3].encode(),
        HELD.format("x" * (MAX_COMMAND + 400)).encode(), b"<turnband:command" * 4000, HELD.format("<b>x</b>").encode(),
    ],
)  # fmt: skip
def test_a_file_without_a_sound_command_is_said_to_have_none(tmp_path: Path, content: bytes) -> None:
    (tmp_path / "x.pdf").write_bytes(content)
    with pytest.raises(CarriedError, match="carries no command"):
        carried_command(str(tmp_path / "x.pdf"))


@each("before", [0, 1, CHUNK_BYTES - 5, CHUNK_BYTES - 17, CHUNK_BYTES + 3])
def test_it_is_found_wherever_it_stands(tmp_path: Path, before: int) -> None:
    (tmp_path / "x.pdf").write_bytes(b"<" * before + HELD.format("turnband tape").encode())
    assert carried_command(str(tmp_path / "x.pdf")) == "turnband tape"


def test_what_is_no_file_is_refused_at_once(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    for name in (tmp_path, tmp_path / "pipe", tmp_path / "none.pdf", "a\0b"):
        with pytest.raises(MarkingError):
            carried_command(str(name))
