"""The pages: what is asked for by which address, and what is sent back."""

from __future__ import annotations

import json
import logging
import re
from collections.abc import Collection, Iterable, Mapping
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import urlencode

from werkzeug.exceptions import HTTPException, InternalServerError, MethodNotAllowed, abort
from werkzeug.http import HTTP_STATUS_CODES
from werkzeug.utils import redirect, send_from_directory
from werkzeug.wrappers import Response

from marking import OUTPUTS
from marking.drawing.fonts import WEIGHTS, Weight, font_path
from marking.errors import MarkingError
from marking.files.formats import FORMATS
from marking.outputs import Output

from ..kept import explicit
from . import lists, printers, words
from .filled import filled, refusal
from .forms import (
    FIRST_SHOWN,
    PRINTERS,
    example_query,
    fields_of,
    first_values,
    kept_defaults,
    label,
    linked,
    query,
    sections,
    spoken,
    values_of,
)
from .guard import HTML, Asked, check, hosts, is_here, strict
from .made import ALL, PRINT, SAVE, File, Made, files, make, page_file, show, zipped

if TYPE_CHECKING:
    from wsgiref.types import StartResponse, WSGIApplication, WSGIEnvironment

HERE = Path(__file__).parent

TYPES = {suffix: found.media_type for suffix, found in FORMATS.items()} | {
    ".zip": "application/zip",
    ".json": "application/json",
    ".csv": "text/csv",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}

FONTS = {f"{weight}.ttf": weight for weight in WEIGHTS}

FIRST = "job"
"""What the first page asks for."""

POSTED = ("set", "printers")
"""What forms are posted to; all else has its job in the address."""

FILES = (PRINT, SAVE, ALL, "numbers.json")

_PAGE = re.compile(r"sheet-([1-9][0-9]{0,4})(\.[a-z]{3})", re.ASCII)

_PAGES = re.compile(r"sheets-([a-z]{3})\.zip", re.ASCII)

_NUMBER = re.compile("[1-9][0-9]{0,4}", re.ASCII)


class Page:
    """The application: every request is checked, answered and made strict here, and nothing of it is kept."""

    def __init__(self, names: Collection[str], may_keep_printers: bool) -> None:
        self.hosts, self.may_keep_printers = hosts(names), may_keep_printers

    def __call__(self, environ: WSGIEnvironment, start: StartResponse) -> Iterable[bytes]:
        """Answer a request, as a WSGI server asks for it."""
        with closing(Asked(environ)) as asked:  # with the files sent
            try:
                check(asked, self.hosts)
                answer = self.answer(asked)
            except HTTPException as refusal:
                answer = refused(asked, refusal)
            except Exception as fault:
                answer = failed(asked, fault)
            return answer(environ, lambda status, headers, *error: start(status, strict(headers), *error))

    def answer(self, asked: Asked) -> WSGIApplication:
        """Return what stands at an address. Raises HTTPException."""
        first, *more = asked.path.removeprefix("/").split("/")
        methods = ["GET", "HEAD", "POST"] if first in POSTED else ["GET", "HEAD"]
        if asked.method not in methods:
            raise MethodNotAllowed(methods)
        match first, *more:
            case ("",):
                return form(asked, FIRST)
            case ("printers",):
                return printer_page(asked, self.may_keep_printers)
            case "static", name:
                return send_from_directory(HERE / "static", name, asked.environ)
            case "font", name if name in FONTS:
                return font(FONTS[name])
            case "set", name if name in words.TEMPLATE_NAMES:
                return template(name)
            case (name,):
                return form(asked, name)
            case name, "live":
                return form(asked, name, live=True)
            case name, "for", other:
                return onward(asked, name, other)
            case name, file_name:
                return file(asked, name, file_name)
        abort(404)


def shown(page: bytes, code: int = 200, more: Iterable[tuple[str, str]] = ()) -> WSGIApplication:
    """Return the answer that shows a page: a preview has no time for one that can do more."""

    def answer(environ: WSGIEnvironment, start: StartResponse) -> Iterable[bytes]:
        start(
            f"{code} {HTTP_STATUS_CODES[code]}",
            [HTML, ("Content-Length", str(len(page))), *more],
        )
        return [b"" if environ["REQUEST_METHOD"] == "HEAD" else page]

    return answer


def form(asked: Asked, name: str, live: bool = False) -> WSGIApplication:
    """Return the form of an output and, where it was filled in, what became of it; or, `live`, the latter alone."""
    output = _output(name)
    if output.name == "set":
        return _list_form(asked, output, live)
    values = None if asked.args else first_values(output)
    if values is not None and any(field.required for field in output.fields):
        return _page(asked, output, values, None, live)
    made = _made(asked, output) if values is None else make(output, values)
    show(made, _first_shown(asked.args))
    return _page(asked, output, made.values, made, live)


def _list_form(asked: Asked, output: Output, live: bool) -> WSGIApplication:
    if not asked.values and not asked.files:
        return _page(asked, output, first_values(output), None, live)
    with lists.in_turn():
        made, held = _made_list(asked, output)
        show(made, _first_shown(asked.values))
        return _page(asked, output, made.values, made, live, held)


def _first_shown(given: Mapping[str, str]) -> int:
    """The page of the sheet from which on pages are asked for; 1 for what is no number."""
    # It is seldom there, and `get` of a MultiDict finds that out by an error.
    return int(given[FIRST_SHOWN]) if FIRST_SHOWN in given and _NUMBER.fullmatch(given[FIRST_SHOWN]) else 1


def _output(name: str) -> Output:
    if name not in OUTPUTS:
        abort(404)
    output = OUTPUTS[name]
    return explicit(output, kept_defaults(output))


def _made(asked: Asked, output: Output) -> Made:
    try:
        return make(output, values_of(fields_of(output), asked.args))
    except MarkingError as error:
        return Made(output, asked.args.to_dict(), error=error)


def _made_list(asked: Asked, output: Output) -> tuple[Made, dict[str, tuple[str, str]]]:
    try:
        values, held, skip = lists.sent_values(output, asked)
    except MarkingError as error:
        return Made(output, asked.values.to_dict(), error=error), {}
    return lists.make_list(output, values, skip), held


def _page(
    asked: Asked,
    output: Output,
    values: Mapping[str, Any],
    made: Made | None,
    live: bool,
    held: dict[str, tuple[str, str]] | None = None,
) -> WSGIApplication:
    """The page of an output, or what of it is `live`; values of files are `held`, as names and texts."""
    root = asked.script_root
    result: dict[str, Any] = {
        "output": output,
        "made": made,
        "held": held or {},
        "here": f"{root}/{output.name}",
        "uses": lists.uses(made) if made and output.name == "set" else (),
        "most_faults": lists.MAX_FAULTS,
    }
    sheets = made.sheets if made else []
    if live:
        page = filled("result.html", root, values, sheets, live=True, **result)
    else:
        parts = sections(output, values, made.error if made else None, printers.names())
        example = example_query(output.name)
        page = filled("form.html", root, values, sheets, sections=parts, example=example, **result)
    return shown(page, 422 if made and not made.good else 200)


def onward(asked: Asked, name: str, other: str) -> Response:
    """Lead to the form of another output, with all of the present job that it asks for."""
    if other not in OUTPUTS:
        abort(404)
    try:
        values = values_of(fields_of(_output(name)), asked.args)
    except MarkingError:  # no page of ours says anything twice
        abort(400)
    return redirect(f"{asked.script_root}/{other}?{query(OUTPUTS[other], values)}")


def file(asked: Asked, name: str, file: str) -> Response:
    """Return a finished file: print.pdf to look at and print; and to keep sheet.pdf, sheet-2.svg, sheets-svg.zip with
    all pages, sheets.zip with all files of a set that is split, numbers.json, or the name of a file apart.
    """
    output = _output(name)
    apart = [field.example for field in output.fields if field.kind == "target"]
    if file not in (*FILES, *apart) and not _PAGE.fullmatch(file) and not _PAGES.fullmatch(file):
        abort(404)
    if output.name == "set":
        with lists.in_turn():
            made, _ = _made_list(asked, output)
            return _answer(made, file)
    return _answer(_made(asked, output), file)


def _answer(made: Made, file: str) -> Response:
    """A file of what was made, or the reason against it as plain text."""
    if not made.good:
        reasons = [
            *([f"{words.MISSING} {', '.join(map(label, made.missing))}"] if made.missing else []),
            *([made.error.message(spoken)] if made.error else []),
            *(fault.text for fault in made.faults[: lists.MAX_FAULTS]),
        ]
        return Response("\n".join(reasons) + "\n", 422, mimetype="text/plain")
    try:
        found = _numbers(made) if file == "numbers.json" else _file(made, file)
    except MarkingError as error:
        return Response(f"{error.message(spoken)}\n", 422, mimetype="text/plain")
    suffix = file[file.rindex(".") :]
    answer = Response(found.content, mimetype=TYPES.get(suffix, "application/octet-stream"))
    answer.headers.set("Content-Disposition", "inline" if file == PRINT else "attachment", filename=found.name)
    return answer


def _numbers(made: Made) -> File:
    data = json.dumps(made.output.data(made.plan), indent=2, ensure_ascii=False)
    return File(f"{made.output.name}.json", data.encode())


def _file(made: Made, file: str) -> File:
    """The finished file of that name; what it is called where it is kept tells the output."""
    name = made.output.name
    if made.document is None:
        abort(404)
    if file in made.apart:
        return next(files(made.apart[file], file))
    if made.split or file == ALL:
        if not made.split or file != ALL:
            abort(404)
        return zipped(lists.set_files(made, f"{name}.pdf"), f"{name}.zip")
    if several := _PAGES.fullmatch(file):
        suffix = f".{several[1]}"
        if suffix not in made.a_page_each:
            abort(404)
        return zipped(files(made.document, f"{name}{suffix}", made.asked), f"{name}.zip")
    found = _PAGE.fullmatch(file)
    if found is None:
        return next(files(made.document, f"{name}.pdf"))
    number, suffix, pages = int(found[1]), found[2], made.document.pages
    if number > len(pages) or suffix not in made.a_page_each:
        abort(404)
    kept_as = f"{name}{suffix}" if len(pages) == 1 else f"{name}-{number}{suffix}"
    return File(kept_as, page_file(made.document, pages[number - 1], suffix, made.asked))


def template(name: str) -> Response:
    """Return a list or a register to begin with."""
    answer = Response(lists.template_file(name), mimetype=TYPES[name[name.rindex(".") :]])
    answer.headers.set("Content-Disposition", "attachment", filename=name)
    return answer


def font(weight: Weight) -> Response:
    """Return the font that the sheets are set in, so that they look as they print."""
    return Response(font_path(weight).read_bytes(), mimetype="font/ttf", headers={"Cache-Control": "max-age=86400"})


def printer_page(asked: Asked, may_keep: bool) -> WSGIApplication:
    """Return the known printers and, at the machine itself, the steps that add one."""
    here = may_keep and is_here(asked)
    error: MarkingError | None = None
    given = {name: asked.form[name] for name in printers.known_params() if name in asked.form}
    if asked.method == "POST":
        if not here:
            abort(403)
        try:
            if "forget" in asked.form:
                printers.forget(asked.form["forget"])
                return redirect(f"{asked.script_root}/{PRINTERS}", 303)
            kept = urlencode({"kept": printers.keep(given).name})
            return redirect(f"{asked.script_root}/{PRINTERS}?{kept}", 303)
        except MarkingError as refusal:
            error = refusal
    paper = asked.values.get("paper") or "a4"
    try:
        known: dict[str, str] | None = printers.described()
    except MarkingError as unreadable:
        known, error = None, unreadable if here else None
    kept = asked.args.get("kept", "")
    inputs = printers.inputs(given, error, paper)
    at_field = error and any(one.error for one in inputs)
    page = filled(
        "printers.html",
        asked.script_root,
        known=known,
        here=here,
        inputs=inputs,
        paper=paper,
        proof=query(OUTPUTS["proof"], {"paper": paper}),
        general_error=error.message(linked) if error and not at_field else "",
        kept=kept if known and kept in known else "",
    )
    return shown(page, 422 if error else 200)


def refused(asked: Asked, error: HTTPException) -> WSGIApplication:
    """Return why a request is refused, in words; what the server knows of itself stays with it."""
    code = error.code or 500
    more = [(name, value) for name, value in error.get_headers() if name == "Allow"]
    return shown(refusal(code, asked.script_root), code, [*more, ("Retry-After", "5")] if code == 503 else more)


def failed(asked: Asked, error: Exception) -> WSGIApplication:
    """Return that something went wrong; what did is told on the machine itself."""
    logging.getLogger(__name__).exception("a request failed", exc_info=error)
    return refused(asked, InternalServerError())
