"""Files are written whole or not at all, and nothing existing is lost."""

from __future__ import annotations

import io
import json
import os
import signal
import socket
import stat
import subprocess
import sys
import threading
from collections.abc import Callable, Iterable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import IO, Any

import pytest

from kit.each import each
from kit.measure import a_document
from marking import save
from marking.errors import OutputError, OutputWarning
from marking.files.pdf import pdf_bytes, write_pdf
from marking.files.whole import write_whole


def test_no_temporary_file_stays(tmp_path: Path) -> None:
    save(a_document(od="96 mm"), str(tmp_path / "x.svg"))
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
        save(a_document(od="96 mm"), str(tmp_path / "x.svg"))
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


@each("name", ["x.bmp", "x", "x.pdf.bak", "pdf"])
def test_other_suffixes_are_refused_with_the_two_named(tmp_path: Path, name: str) -> None:
    with pytest.raises(OutputError, match=r"\.pdf or \.svg"):
        save(a_document(), str(tmp_path / name))
    assert list(tmp_path.iterdir()) == []


@pytest.fixture(scope="module")
def ends() -> list[dict[str, Any]]:
    """What an end before and after every change of the disk leaves, by SIGINT and by SIGKILL."""
    script = Path(__file__).parent.parent / "hostile" / "changes.py"
    done = subprocess.run([sys.executable, str(script)], capture_output=True, encoding="utf-8", check=True)
    found: list[dict[str, Any]] = json.loads(done.stdout)
    assert len(found) > 60
    assert {end["code"] for end in found} == {130, -9}
    return found


NEW = {f"{name}.svg": f"new {name}.svg" for name in "abc"}
OLD = {f"{name}.svg": f"old {name}.svg" for name in "ab"}


def test_ctrl_c_at_any_change_of_the_disk_leaves_all_old_or_all_new_and_nothing_else(
    ends: list[dict[str, Any]],
) -> None:
    seen = [end["contents"] for end in ends if end["signal"] == signal.SIGINT]
    assert all(contents in (OLD, NEW) for contents in seen)
    assert OLD in seen
    assert NEW in seen
    assert not [end for end in ends if end["signal"] == signal.SIGINT and end["left"]]


def test_killed_at_any_change_of_the_disk_every_file_is_old_or_new_and_a_mix_is_told(
    ends: list[dict[str, Any]],
) -> None:
    killed = [end for end in ends if end["signal"] == signal.SIGKILL]
    for end in killed:
        contents = end["contents"]
        assert OLD.keys() <= contents.keys(), "no old file is away for a moment"
        assert all(text in (OLD.get(name), NEW[name]) for name, text in contents.items())
        missing = [name for name in NEW if contents.get(name) != NEW[name]]
        if contents not in (OLD, NEW):
            (said,) = end["said"]
            assert [name for name in NEW if repr(name) in said] == missing
        assert end["contents_after"] == contents
        assert not end["left_after"], "the next run removes what was left"
    assert any(end["contents"] not in (OLD, NEW) for end in killed), "some ends fell among the moves"


def test_no_more_is_said_of_files_that_are_written_again(tmp_path: Path) -> None:
    for name, due in (("a" * 16, "x.svg"), ("b" * 16, "y.svg")):
        (tmp_path / f".turnband-{name}" / "due").mkdir(parents=True)
        (tmp_path / f".turnband-{name}" / "due" / due).write_text("new")
    with pytest.warns(OutputWarning, match=r"not written any more: 'y\.svg': draw"):
        write_whole({tmp_path / "x.svg": lambda file: file.write(b"newer")})
    assert [path.name for path in tmp_path.iterdir()] == ["x.svg"]


def test_what_another_run_is_writing_is_left_alone(tmp_path: Path) -> None:
    def write_meanwhile(file: IO[bytes]) -> None:
        write_whole({tmp_path / "other.svg": lambda other: other.write(b"other")})
        file.write(b"mine")

    (tmp_path / ".turnband-notes").mkdir()
    write_whole({tmp_path / "mine.svg": write_meanwhile})
    assert (tmp_path / "mine.svg").read_bytes() == b"mine"
    assert sorted(path.name for path in tmp_path.iterdir()) == [".turnband-notes", "mine.svg", "other.svg"]


def test_where_a_file_system_has_no_links_the_old_files_are_copied(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def refuse(*_: object) -> None:
        raise OSError(1, "Operation not permitted")

    real = os.replace

    def fail_second(source: Path, target: Path) -> None:
        if target.name == "b.svg" and "due" in str(source):
            raise OSError(28, "No space left on device")
        real(source, target)

    (tmp_path / "a.svg").write_text("old")
    monkeypatch.setattr(os, "link", refuse)
    monkeypatch.setattr(os, "replace", fail_second)
    with pytest.raises(OutputError, match="no space left"):
        write_whole({tmp_path / name: lambda file: file.write(b"new") for name in ("a.svg", "b.svg")})
    assert [(path.name, path.read_text()) for path in tmp_path.iterdir()] == [("a.svg", "old")]


def _make_fifo(path: Path) -> None:
    os.mkfifo(path)


def _make_device_link(path: Path) -> None:
    path.symlink_to("/dev/null")


def _make_loop(path: Path) -> None:
    path.symlink_to(path.name)


def _make_socket(path: Path) -> None:
    with socket.socket(socket.AF_UNIX) as made:
        made.bind(str(path))


def _make_read_only(path: Path) -> None:
    path.write_text("precious")
    path.chmod(0o444)


@pytest.mark.parametrize(
    ("make", "reason"),
    [
        (_make_fifo, "no ordinary file"), (_make_device_link, "no ordinary file"), (_make_socket, "no ordinary file"),
        (_make_loop, "symbolic links"), (_make_read_only, "is read-only"),
    ],
)  # fmt: skip
def test_what_is_no_ordinary_file_or_is_read_only_is_not_replaced(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, make: Callable[[Path], None], reason: str
) -> None:
    monkeypatch.chdir(tmp_path)  # the path of a socket must be short
    make(Path("b.svg"))
    before = os.lstat("b.svg")
    with pytest.raises(OutputError, match=rf"cannot write 'b\.svg'.*{reason}"):
        write_whole({Path(name): lambda file: file.write(b"new") for name in ("a.svg", "b.svg")})
    assert os.listdir() == ["b.svg"]
    assert os.lstat("b.svg")[:7] == before[:7]


def test_two_pages_that_are_one_file_by_a_link_are_refused(tmp_path: Path) -> None:
    (tmp_path / "b.svg").symlink_to("a.svg")
    with pytest.raises(OutputError, match="same file"):
        write_whole({tmp_path / name: lambda file: file.write(b"new") for name in ("a.svg", "b.svg")})
    assert not (tmp_path / "a.svg").exists()


def test_pages_of_an_older_and_longer_document_are_named_and_stay(tmp_path: Path) -> None:
    for number in (3, 4, 6):
        (tmp_path / f"x-{number}.svg").write_text("old")
    with pytest.warns(OutputWarning, match=r"^'x-3\.svg', 'x-4\.svg' in"):
        save(a_document(od="96 mm"), str(tmp_path / "x.svg"))
    assert len(list(tmp_path.iterdir())) == 5
    for name in ("y-1.svg", "z-1.pdf"):
        (tmp_path / name).write_text("old")
    save(a_document(), str(tmp_path / "z.pdf"))
    with pytest.warns(OutputWarning, match=r"^'y-1\.svg' in"):
        save(a_document()._replace(pages=a_document().pages[:1]), str(tmp_path / "y.svg"))


def test_a_thread_writes_no_pdf_while_another_does() -> None:
    """Both would read the fonts by seeking in them."""
    document = a_document()
    expected = pdf_bytes(document)
    writes, goes_on = threading.Event(), threading.Event()

    class Slow(io.BytesIO):
        def writelines(self, lines: Iterable[Any], /) -> None:
            writes.set()
            goes_on.wait(10)
            super().writelines(lines)

    with ThreadPoolExecutor(2) as pool:
        slow = Slow()
        first = pool.submit(write_pdf, document, slow)
        assert writes.wait(10)
        second = pool.submit(pdf_bytes, document)
        with pytest.raises(TimeoutError):
            second.result(0.2)
        goes_on.set()
        first.result()
        assert slow.getvalue() == second.result() == expected
