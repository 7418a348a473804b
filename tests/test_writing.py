"""Files are written whole or not at all, and nothing existing is lost."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from marking import save
from marking.errors import OutputError
from marking.render.files import write_whole
from measure import a_document


def test_no_temporary_file_stays(tmp_path: Path) -> None:
    save(a_document(), str(tmp_path / "x.svg"))
    assert sorted(p.name for p in tmp_path.iterdir()) == ["x-1.svg", "x-2.svg"]


def test_an_existing_file_is_replaced_and_keeps_its_permissions(tmp_path: Path) -> None:
    target = tmp_path / "x.pdf"
    target.write_text("old")
    target.chmod(0o640)
    save(a_document(), str(target))
    assert target.read_bytes().startswith(b"%PDF")
    assert stat.S_IMODE(target.stat().st_mode) == 0o640


def test_a_new_file_gets_the_permissions_that_new_files_get(tmp_path: Path) -> None:
    plain = tmp_path / "plain"
    plain.write_text("")
    save(a_document(), str(tmp_path / "x.pdf"))
    assert (tmp_path / "x.pdf").stat().st_mode == plain.stat().st_mode


def test_a_link_is_followed(tmp_path: Path) -> None:
    (tmp_path / "real.pdf").write_text("old")
    (tmp_path / "link.pdf").symlink_to("real.pdf")
    save(a_document(), str(tmp_path / "link.pdf"))
    assert (tmp_path / "link.pdf").is_symlink()
    assert (tmp_path / "real.pdf").read_bytes().startswith(b"%PDF")


@pytest.mark.parametrize("name", ["missing/x.pdf", "folder.pdf"])
def test_a_place_that_cannot_be_written_is_refused(tmp_path: Path, name: str) -> None:
    (tmp_path / "folder.pdf").mkdir()
    with pytest.raises(OutputError, match="cannot write"):
        save(a_document(), str(tmp_path / name))
    assert [p.name for p in tmp_path.iterdir()] == ["folder.pdf"]


def test_when_the_second_file_cannot_be_written_the_first_stays_as_it_was(tmp_path: Path) -> None:
    (tmp_path / "x-1.svg").write_text("precious")
    (tmp_path / "x-2.svg").mkdir()
    with pytest.raises(OutputError):
        save(a_document(), str(tmp_path / "x.svg"))
    assert (tmp_path / "x-1.svg").read_text() == "precious"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["x-1.svg", "x-2.svg"]


def test_when_a_rename_fails_half_way_everything_is_put_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    first, second, third = (tmp_path / f"{n}.svg" for n in "abc")
    first.write_text("old a")
    second.write_text("old b")
    real = os.replace
    calls = []

    def failing(source: object, target: object) -> None:
        if str(target) == str(third):
            raise OSError(28, "No space left on device")
        calls.append(target)
        real(source, target)  # type: ignore[arg-type]

    monkeypatch.setattr(os, "replace", failing)
    with pytest.raises(OutputError, match="no space left"):
        write_whole({path: lambda file: file.write(b"new") for path in (first, second, third)})
    assert calls, "the failure came after some renames"
    assert (first.read_text(), second.read_text()) == ("old a", "old b")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.svg", "b.svg"]


@pytest.mark.parametrize("name", ["x.png", "x", "x.pdf.bak", "pdf"])
def test_other_suffixes_are_refused_with_the_two_named(tmp_path: Path, name: str) -> None:
    with pytest.raises(OutputError, match=r"\.pdf or \.svg"):
        save(a_document(), str(tmp_path / name))
    assert list(tmp_path.iterdir()) == []
