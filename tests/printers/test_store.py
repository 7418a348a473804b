"""The file that keeps printer profiles."""

from __future__ import annotations

import os
import subprocess
import sys
import tracemalloc
from functools import partial
from pathlib import Path

import filelock
import pytest
from hypothesis import given
from hypothesis import strategies as st

from kit.each import each
from kit.examples import ANY
from kit.printers import BENCH, OFFICE, kept
from marking import MarkingError
from marking.errors import CharacterError, OutputError, RangeError
from marking.printers import store as printers_module
from marking.printers.profile import Profile, ProfileError, read_profile
from marking.printers.store import add_profile, load_profiles, profile, profiles_path, remove_profile


def test_profiles_come_back_as_they_were_added(folder: Path) -> None:
    assert load_profiles() == {}
    assert not folder.exists(), "reading makes no folder"
    add_profile(OFFICE)
    add_profile(BENCH)
    assert load_profiles() == {"office": OFFICE, "Büro 2.b_c-d": BENCH}
    assert profile("office") == OFFICE
    assert list(kept(folder)) == ["printers.toml"]


def test_scales_are_printed_over_drawn_millimetres() -> None:
    assert pytest.approx(0.99625, rel=1e-12) == OFFICE.x_scale
    assert pytest.approx(1 + 0.5 / 240, rel=1e-12) == OFFICE.y_scale
    inches = read_profile("inch", "6-1/4 in", "9.5 in")
    assert inches.x_scale == pytest.approx(158.75 / 160)
    assert inches.y_scale == pytest.approx(241.3 / 240)


def test_removing_leaves_the_others(folder: Path) -> None:
    add_profile(OFFICE)
    add_profile(BENCH)
    remove_profile("office")
    assert load_profiles() == {BENCH.name: BENCH}
    remove_profile(BENCH.name)
    assert load_profiles() == {}


def test_an_existing_name_is_replaced_only_on_request(folder: Path) -> None:
    add_profile(OFFICE)
    other = Profile("office", 160.2, 160.0, 239.9, 240.0)
    with pytest.raises(ProfileError, match="called 'office' already"):
        add_profile(other)
    assert profile("office") == OFFICE
    add_profile(other, replace=True)
    assert load_profiles() == {"office": other}


def test_an_unknown_name_is_answered_with_the_known_ones(folder: Path) -> None:
    with pytest.raises(ProfileError, match="add a printer first"):
        profile("office")
    add_profile(OFFICE)
    add_profile(BENCH)
    for ask in (profile, remove_profile):
        with pytest.raises(
            ProfileError, match=r"no printer is called 'Office'; expected one of: Büro 2\.b_c-d, office"
        ):
            ask("Office")


def test_removing_from_nothing_makes_no_folder(folder: Path) -> None:
    with pytest.raises(ProfileError):
        remove_profile("office")
    assert not folder.exists()


def test_one_name_typed_in_two_ways_is_one_printer(folder: Path) -> None:
    add_profile(read_profile("Bu\u0308ro", "160 mm", "240 mm"))
    assert profile("B\u00fcro") == profile("Bu\u0308ro")
    assert list(load_profiles()) == ["B\u00fcro"]


@each(
    ("name", "words"),
    [
        ("", "is empty"),
        ("-office", r"begins with '-', U\+002D \(HYPHEN-MINUS\)"),
        (" office", "begins with ' '"),
        ("office ", "ends with a space"),
        ("../office", r"begins with '\.'"),
        ("a/b", r"holds '/', U\+002F \(SOLIDUS\)"),
        ("a\\b", "REVERSE SOLIDUS"),
        ('a"b', "QUOTATION MARK"),
        ("a]b", "RIGHT SQUARE BRACKET"),
        ("a\nb", r"U\+000A"),
        ("a\u202eb", "RIGHT-TO-LEFT OVERRIDE"),
        ("a\x00b", r"U\+0000"),
        ("a\udcffb", r"U\+DCFF"),
        ("x²", "SUPERSCRIPT TWO"),
        ("漢字", r"U\+6F22"),
        ("x" * 41, "at most 40"),
    ],
)
def test_a_name_that_could_mislead_is_refused_by_its_character(folder: Path, name: str, words: str) -> None:
    with pytest.raises(CharacterError, match=words):
        add_profile(read_profile(name, "160 mm", "240 mm"))
    assert not folder.exists()


@given(name=st.text(ANY, min_size=1, max_size=45) | st.text("aZ09 ._-é\u0301Ж", min_size=1, max_size=45))
def test_every_name_is_refused_or_comes_back(tmp_path_factory: pytest.TempPathFactory, name: str) -> None:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TURNBAND_CONFIG_DIR", str(tmp_path_factory.mktemp("names")))
        try:
            made = read_profile(name, "160 mm", "240 mm")
        except MarkingError:
            return
        add_profile(made)
        assert load_profiles() == {made.name: made}
        assert profile(name) == made


@each(
    ("x", "y"),
    [("152 mm", "228 mm"), ("168 mm", "252 mm"), ("160 mm", "240 mm")],
)
def test_five_percent_is_still_believed(x: str, y: str) -> None:
    read_profile("office", x, y)


@each(
    ("x", "y", "words"),
    [
        ("151.9 mm", "240 mm", "across the sheet for 160 mm: 5.1 % off"),
        ("160 mm", "252.2 mm", "along the sheet for 240 mm: 5.1 % off"),
        ("240 mm", "160 mm", "50 % off"),
        ("15.94 mm", "240 mm", "check x and x nominal"),
        ("159.4 cm", "240 mm", "fit to page.*print the proof again at 100 %"),
    ],
)
def test_more_than_five_percent_is_refused_with_advice(x: str, y: str, words: str) -> None:
    with pytest.raises(RangeError, match=words):
        read_profile("office", x, y)


@each("more", [{"x_nominal": "49 mm"}, {"y_nominal": "2 m"}, {"stock": "1.1 mm"}, {"stock": "0 mm"}, {"x": "160"}])
def test_other_values_outside_their_limits_are_refused(more: dict[str, str]) -> None:
    with pytest.raises(MarkingError):
        read_profile("office", **{"x": "160 mm", "y": "240 mm", **more})


GOOD = "x_measured_mm = 160\nx_nominal_mm = 160\ny_measured_mm = 240\ny_nominal_mm = 240\n"
BROKEN = {
    "[office": "line 1|end of document",
    "= 3": "line 1|at end|Invalid",
    f"[a]\n{GOOD}[a]\n{GOOD}": "twice|Cannot declare",
    "office = 3": "'office': is a value",
    f'[office]\n{GOOD}x_scale = 1.0': "'x_scale' is not known",
    "[office]\nx_measured_mm = 160\n": "'x_nominal_mm' is missing",
    "[office]\n" + GOOD.replace("160", '"160 mm"', 1): "x_measured_mm is '160 mm'; expected a number",
    "[office]\n" + GOOD.replace("160", "true", 1): "x_measured_mm is True",
    "[office]\n" + GOOD.replace("160", "nan", 1): "nan",
    "[office]\n" + GOOD.replace("160", "inf", 1): "inf",
    "[office]\n" + GOOD.replace("160", "1" + "0" * 400, 1): "across the sheet",
    "[office]\n" + GOOD.replace("160", "1" + "0" * 5000, 1): "printers.toml",
    "[office]\n" + GOOD.replace("160", "120", 1): "25 % off",
    "[office]\n" + GOOD.replace("160", "0"): "nominal length across",
    f"[office]\n{GOOD}stock_mm = -0.1": "the stock is -0.1 mm",
    f'["../../evil"]\n{GOOD}': "begins with '.'",
    "a = " + "[" * 20000: "printers.toml",
    "#" * 1_000_001: "too large",
    "[b\udce9]\n": "byte 3 is no UTF-8",
}  # fmt: skip


@each(("content", "words"), BROKEN.items())
def test_a_broken_file_is_named_and_never_overwritten(folder: Path, content: str, words: str) -> None:
    folder.mkdir(exist_ok=True)
    raw = content.encode("utf-8", "surrogateescape")
    (folder / "printers.toml").write_bytes(raw)
    for change in (
        load_profiles,
        lambda: profile("office"),
        lambda: add_profile(OFFICE),
        lambda: add_profile(OFFICE, replace=True),
        lambda: remove_profile("office"),
    ):
        with pytest.raises(ProfileError, match=words) as caught:
            change()
        assert str(folder / "printers.toml") in str(caught.value)
        assert "mend it, or move it away" in str(caught.value)
        assert len(str(caught.value)) < 500 + len(str(folder))
    assert kept(folder) == {"printers.toml": raw}


def test_a_good_file_edited_by_hand_is_read(folder: Path) -> None:
    folder.mkdir()
    (folder / "printers.toml").write_text(f"# mine\n[office]\n{GOOD}")
    assert profile("office") == Profile("office", 160.0, 160.0, 240.0, 240.0)


ADD = """
import os
import sys
import tomllib
import filelock
import tomli_w
from marking.printers.profile import Profile
from marking.printers.store import add_profile
for number in range(8):
    if not os.fork():
        for k in range(6):
            add_profile(Profile(f"printer {number}-{k}", 160.0 + k / 10, 160.0, 240.0, 240.0))
        sys.exit()
sys.exit(any(os.wait()[1] for _ in range(8)))
"""


def test_eight_processes_that_add_at_once_lose_nothing(folder: Path) -> None:
    done = subprocess.run([sys.executable, "-c", ADD], stderr=subprocess.PIPE, timeout=120, check=False)
    assert (done.returncode, done.stderr) == (0, b"")
    assert set(load_profiles()) == {f"printer {n}-{k}" for n in range(8) for k in range(6)}
    assert list(kept(folder)) == ["printers.toml"]


def test_when_the_file_cannot_be_replaced_it_stays_as_it_was(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    add_profile(OFFICE)
    before = kept(folder)

    def failing(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "replace", failing)
    words = r"printers\.toml': no space left.*TURNBAND_CONFIG_DIR"
    with pytest.raises(OutputError, match=words):
        add_profile(BENCH)
    with pytest.raises(OutputError, match=words):
        remove_profile("office")
    assert kept(folder) == before


def test_a_lock_held_by_another_is_a_clear_error(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    add_profile(OFFICE)
    monkeypatch.setattr(printers_module, "LOCK_TIMEOUT_S", 0.2)
    with (
        filelock.FileLock(f"{profiles_path()}.lock"),
        pytest.raises(OutputError, match=r"another process has held it for 0\.2 s; .*printers\.toml\.lock"),
    ):
        add_profile(BENCH)
    add_profile(BENCH)
    assert set(load_profiles()) == {OFFICE.name, BENCH.name}


def test_a_folder_that_cannot_be_made_is_a_clear_error(folder: Path) -> None:
    folder.write_text("a file stands where the folder should be")
    assert load_profiles() == {}
    with pytest.raises(OutputError, match=r"cannot write .*TURNBAND_CONFIG_DIR"):
        add_profile(OFFICE)


def test_without_the_variable_profiles_live_where_the_system_keeps_them(monkeypatch: pytest.MonkeyPatch) -> None:
    import platformdirs

    for value in (None, ""):
        if value is None:
            monkeypatch.delenv("TURNBAND_CONFIG_DIR", raising=False)
        else:
            monkeypatch.setenv("TURNBAND_CONFIG_DIR", value)
        assert profiles_path().parent == platformdirs.user_config_path("turnband", appauthor=False)
        assert profiles_path().name == "printers.toml"


def many_parts(start: str, end: str, size: int) -> str:
    """TOML with a key of as many dotted parts as `size` bytes hold."""
    return start + ".".join(["a"] * ((size - len(start) - len(end)) // 2)) + end


@each(
    "content",
    [
        many_parts("", " = 1\n", 39_000), many_parts("[", "]\n", 39_000), many_parts("b = {", " = 1}\n", 39_000),
        "".join(many_parts(f"[b{n}.", "]\n", 499) for n in range(20)),
        "".join(many_parts(f"[b{n}.", "]\n", 499) + many_parts("", "=1\n", 499) for n in range(8)),
        "a" * 39_000 + " = 1\n", '"' + "a" * 400 + '" = 1\n', f'["{"a" * 400}"]\n', "[b]\n" + "a" * 400 + " = 1\n",
        "[b]\nx_measured_mm = " + "[" * 400 + "]" * 400 + "\n",
    ])  # fmt: skip
def test_keys_without_end_are_refused_in_little_memory_and_few_words(folder: Path, content: str) -> None:
    folder.mkdir(exist_ok=True)
    (folder / "printers.toml").write_text(content)
    tracemalloc.start()
    with pytest.raises(ProfileError, match=r"printers\.toml") as caught:
        load_profiles()
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    assert peak < 100e6
    assert len(str(caught.value)) < 500 + len(str(folder))


def test_a_file_saved_with_a_byte_order_mark_is_read(folder: Path) -> None:
    folder.mkdir()
    (folder / "printers.toml").write_text(f"[office]\n{GOOD}", encoding="utf-8-sig")
    assert profile("office") == Profile("office", 160.0, 160.0, 240.0, 240.0)


def test_more_printers_than_any_workshop_has_fit_in_the_file(folder: Path) -> None:
    names = [f"{'n' * 36}{number:04}" for number in range(200)]
    folder.mkdir()
    printers_module._write(profiles_path(), {name: Profile(name, 159.4, 160.0, 240.5, 240.0, 0.11) for name in names})
    assert list(load_profiles()) == names


NOT_WAITING = "from marking.printers.store import load_profiles\ntry: load_profiles()\nexcept Exception as e: print(e)"


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="this system has no pipes in folders")
def test_a_pipe_or_a_device_in_the_files_place_is_refused_without_waiting(folder: Path) -> None:
    folder.mkdir()
    path = folder / "printers.toml"
    for make in (os.mkfifo, partial(os.symlink, "/dev/zero")):
        make(path)
        command = [sys.executable, "-c", NOT_WAITING]
        done = subprocess.run(command, capture_output=True, text=True, timeout=20, check=True)
        assert "printers.toml' cannot be used: it is no ordinary file" in done.stdout
        path.unlink()
