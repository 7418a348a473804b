"""The pages: what is asked for by which address, and what is sent back."""

from __future__ import annotations

import json
import re
from collections.abc import Collection, Mapping, MutableMapping, Sequence
from functools import cache, partial
from typing import Any

from flask import Flask, Response, abort, current_app, g, redirect, request, templating, url_for
from markupsafe import Markup, escape
from werkzeug.exceptions import HTTPException
from werkzeug.wrappers import Response as AnyResponse

from marking import OUTPUTS
from marking.drawing.fonts import WEIGHTS, font_path
from marking.errors import MarkingError, named
from marking.files.formats import FORMATS
from marking.outputs import Output
from marking.sheets.words import CAUTIONS, direction

from ..delivery import counted
from ..kept import explicit
from . import lists, printers, words
from .forms import (
    FIRST_SHOWN,
    LINK,
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
from .guard import guard, is_here
from .made import ALL, PRINT, SAVE, File, Made, Sheet, files, make, page_file, show, zipped

TYPES = {suffix: found.media_type for suffix, found in FORMATS.items()} | {
    ".zip": "application/zip",
    ".json": "application/json",
    ".csv": "text/csv",
    ".xlsx": "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet",
}

FIRST = "job"
"""What the first page asks for."""

FILES = (PRINT, SAVE, ALL, "numbers.json")

SLOT = Markup("<!--sheet-->")
"""Where a sheet stands in a page; what is typed is escaped and never looks so."""

_PAGE = re.compile(r"sheet-([1-9][0-9]{0,4})(\.[a-z]{3})", re.ASCII)

_PAGES = re.compile(r"sheets-([a-z]{3})\.zip", re.ASCII)

_NUMBER = re.compile("[1-9][0-9]{0,4}", re.ASCII)

_LINK = re.compile("{}([a-z]+){}".format(*LINK))


class Environment(templating.Environment):
    """Templates whose globals are all there before the first is loaded: Flask looks through a chain at each filling."""

    def make_globals(self, d: MutableMapping[str, Any] | None) -> MutableMapping[str, Any]:
        """Return what every template knows."""
        return {**self.globals, **(d or {})}


def build(names: Collection[str], may_keep_printers: bool) -> Flask:
    """Return the application."""
    app = Flask(__name__)
    app.jinja_environment = Environment
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    app.jinja_env.globals.update(
        words=words,
        head=head,
        direction=direction,
        label=label,
        spoken=spoken,
        footer=footer,
        zooms=zooms,
        with_spec=with_spec,
        counted=counted,
        first_shown=FIRST_SHOWN,
        sheet_slot=SLOT,
    )
    app.jinja_env.filters.update(links=links, told=told)
    guard(app, names)
    app.add_url_rule("/", "first", partial(form, FIRST))
    app.add_url_rule("/printers", "printers", partial(printer_page, may_keep_printers), methods=["GET", "POST"])
    app.add_url_rule("/font/<weight>.ttf", "font", font)
    app.add_url_rule("/set/<any('list.csv', 'sockets.csv', 'list.xlsx', 'sockets.xlsx'):name>", "template", template)
    app.add_url_rule("/<name>", "form", form, methods=["GET", "POST"])
    app.add_url_rule("/<name>/live", "live", partial(form, live=True), methods=["GET", "POST"])
    app.add_url_rule("/<name>/for/<other>", "onward", onward)
    app.add_url_rule("/<name>/<file>", "file", file, methods=["GET", "POST"])
    app.register_error_handler(HTTPException, refused)
    app.register_error_handler(Exception, partial(failed, app))
    return app


def head(output: Output) -> str:
    """Return what an output does, in a line."""
    return _head(output.help)


@cache
def _head(told: str) -> str:
    return named(told.partition("\n")[0], lambda field: words.THE.get(field, label(field)))


@cache
def footer(here: str) -> Markup:
    """Return what ends every page: the cautions, and the list of everything, in which `here` is the present output."""
    return Markup(rendered("footer.html", here=here, cautions=CAUTIONS, outputs=OUTPUTS))


@cache
def zooms() -> Markup:
    """Return the choice of how closely a sheet is looked at."""
    return Markup(rendered("zooms.html"))


def told(message: str) -> Markup:
    """Return a message as HTML, line by line; what was typed, and the caret below it, stand as they are."""
    return Markup("\n").join(
        Markup('<code tabindex="0">{}</code>').format(line)
        if line.startswith(" ")
        else Markup("<span>{}</span>").format(links(line))
        for line in message.splitlines()
    )


def links(text: str) -> Markup:
    """Return a sentence as HTML: where it speaks of a command, with a link to the page that does the same."""
    return Markup(_LINK.sub(_link, str(escape(text))))


def _link(found: re.Match[str]) -> str:
    """A link to another output with all of the present job that it asks for, or to the printers."""
    name = found[1]
    if name == PRINTERS:
        return f'<a href="{url_for("printers")}">{name}</a>'
    if name not in OUTPUTS:
        return name
    job = query(OUTPUTS[name], g.get("values", {}))
    return f'<a href="{url_for("form", name=name)}?{escape(job)}">{name}</a>'


def form(name: str, live: bool = False) -> tuple[bytes, int]:
    """Return the form of an output and, where it was filled in, what became of it; or, `live`, the latter alone."""
    output = _output(name)
    if output.name == "set":
        return _list_form(output, live)
    values = None if request.args else first_values(output)
    if values is not None and any(field.required for field in output.fields):
        return _page(output, values, None, live), 200
    made = _made(output) if values is None else make(output, values)
    show(made, _first_shown(request.args))
    return _page(output, made.values, made, live), 200 if made.good else 422


def _list_form(output: Output, live: bool) -> tuple[bytes, int]:
    if not request.values and not request.files:
        return _page(output, first_values(output), None, live), 200
    with lists.in_turn():
        made, held = _made_list(output)
        show(made, _first_shown(request.values))
        return _page(output, made.values, made, live, held), 200 if made.good else 422


def _first_shown(given: Mapping[str, str]) -> int:
    """The page of the sheet from which on pages are asked for; 1 for what is no number."""
    number = given.get(FIRST_SHOWN, "")
    return int(number) if _NUMBER.fullmatch(number) else 1


def _output(name: str) -> Output:
    if name not in OUTPUTS or (request.method == "POST" and name != "set"):
        abort(404 if name not in OUTPUTS else 405)
    output = OUTPUTS[name]
    return explicit(output, kept_defaults(output))


def _made(output: Output) -> Made:
    try:
        return make(output, values_of(fields_of(output), request.args))
    except MarkingError as error:
        return Made(output, request.args.to_dict(), error=error)


def _made_list(output: Output) -> tuple[Made, dict[str, tuple[str, str]]]:
    try:
        values, held, skip = lists.sent_values(output, request)
    except MarkingError as error:
        return Made(output, request.values.to_dict(), error=error), {}
    return lists.make_list(output, values, skip), held


def _page(
    output: Output,
    values: Mapping[str, Any],
    made: Made | None,
    live: bool,
    held: dict[str, tuple[str, str]] | None = None,
) -> bytes:
    """The page of an output, or what of it is `live`; values of files are `held`, as names and texts."""
    g.values = values
    result: dict[str, Any] = {
        "output": output,
        "made": made,
        "held": held or {},
        "here": f"{request.script_root}/{output.name}",
        "uses": lists.uses(made) if made and output.name == "set" else (),
        "most_faults": lists.MAX_FAULTS,
    }
    if live:
        page = rendered("result.html", live=True, **result)
    else:
        parts = sections(output, values, made.error if made else None, printers.names())
        page = rendered("form.html", sections=parts, example=example_query(output.name), **result)
    return _with_sheets(page, made.sheets if made else ())


def _with_sheets(page: str, sheets: Sequence[Sheet]) -> bytes:
    """A page with its sheets at their places, as they were written: our own renderer escapes every text."""
    before, *after = page.encode().split(SLOT.encode())
    parts = (part for sheet, rest in zip(sheets, after, strict=True) for part in (sheet.svg, rest))
    return b"".join((before, *parts))


def rendered(template: str, **values: Any) -> str:
    """Return a template filled in; Flask's own way asks for a session and signals first, which there are none of."""
    return current_app.jinja_env.get_template(template).render(values)


@cache
def with_spec() -> tuple[str, ...]:
    """Return the names of the outputs that ask for a spec: each can be made of what another was given."""
    return tuple(name for name, output in OUTPUTS.items() if any(field.name == "spec" for field in output.fields))


def onward(name: str, other: str) -> AnyResponse:
    """Lead to the form of another output, with all of the present job that it asks for."""
    if other not in OUTPUTS:
        abort(404)
    try:
        values = values_of(fields_of(_output(name)), request.args)
    except MarkingError:  # no page of ours says anything twice
        abort(400)
    return redirect(f"{url_for('form', name=other)}?{query(OUTPUTS[other], values)}")


def file(name: str, file: str) -> Response:
    """Return a finished file: print.pdf to look at and print; and to keep sheet.pdf, sheet-2.svg, sheets-svg.zip with
    all pages, sheets.zip with all files of a set that is split, numbers.json, or the name of a file apart.
    """
    output = _output(name)
    apart = [field.example for field in output.fields if field.kind == "target"]
    if file not in (*FILES, *apart) and not _PAGE.fullmatch(file) and not _PAGES.fullmatch(file):
        abort(404)
    if output.name == "set":
        with lists.in_turn():
            made, _ = _made_list(output)
            return _answer(made, file)
    return _answer(_made(output), file)


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


def font(weight: str) -> Response:
    """Return the font that the sheets are set in, so that they look as they print."""
    if weight not in WEIGHTS:
        abort(404)
    found: Any = next(known for known in WEIGHTS if known == weight)
    return Response(font_path(found).read_bytes(), mimetype="font/ttf", headers={"Cache-Control": "max-age=86400"})


def printer_page(may_keep: bool) -> tuple[str, int] | AnyResponse:
    """Return the known printers and, at the machine itself, the steps that add one."""
    here = may_keep and is_here(request)
    error: MarkingError | None = None
    given = {name: request.form[name] for name in printers.known_params() if name in request.form}
    if request.method == "POST":
        if not here:
            abort(403)
        try:
            if "forget" in request.form:
                printers.forget(request.form["forget"])
                return redirect(url_for("printers"), 303)
            return redirect(url_for("printers", kept=printers.keep(given).name), 303)
        except MarkingError as refusal:
            error = refusal
    paper = request.values.get("paper") or "a4"
    try:
        known: dict[str, str] | None = printers.described()
    except MarkingError as unreadable:
        known, error = None, unreadable if here else None
    kept = request.args.get("kept", "")
    inputs = printers.inputs(given, error, paper)
    at_field = error and any(one.error for one in inputs)
    page = rendered(
        "printers.html",
        known=known,
        here=here,
        inputs=inputs,
        paper=paper,
        general_error=error.message(linked) if error and not at_field else "",
        kept=kept if known and kept in known else "",
    )
    return page, 422 if error else 200


def refused(error: HTTPException) -> tuple[str, int, dict[str, str]]:
    """Return why a request is refused, in words; what the server knows of itself stays with it."""
    code = error.code or 500
    title, text = words.REFUSED.get(code, words.REFUSED[400])
    more = {name: value for name, value in error.get_headers() if name in ("Allow", "Location")}
    return (
        rendered("refused.html", title=title, text=text),
        code,
        more | ({"Retry-After": "5"} if code == 503 else {}),
    )


def failed(app: Flask, error: Exception) -> tuple[str, int]:
    """Return that something went wrong; what did is told on the machine itself."""
    app.logger.exception("a request failed", exc_info=error)
    title, text = words.REFUSED[500]
    return rendered("refused.html", title=title, text=text), 500
