"""The outputs: everything that can be asked for, by name; each is one folder and one line here."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from importlib import import_module
from typing import TYPE_CHECKING, Any, Literal, NamedTuple

from ..errors import KindError, plain_name, shown
from ..fields import FILE_FIELDS, Field

if TYPE_CHECKING:
    from ..drawing.primitives import Document


MEASURE = "then measure {rulers}."
"""What to do with printed pages to scale."""


class Output(NamedTuple):
    """One output: what it asks for, and the one chain from texts to pages.

    `read(texts) → request`, `plan(request) → plan`, `draw(plan, command) → document`, which `marking.save` writes;
    `data(plan)` and `text(plan)` are made of the plan alone. They are functions of those names in `home`, a package (in
    its modules `request`, `plan`, `sheet` and `report`) or a single module, which load when they are called.

    `help` says in its first line what the output does, and names fields as errors do, `{@spec}`; `examples` are command
    lines without the program's name.
    `writes` tells whether pages are drawn "always", when "asked" for, or "never"; the latter two print the text.
    `then` is what to do with printed pages that have check rulers, for which {rulers} stands.
    """

    name: str
    home: str
    help: str
    fields: tuple[Field, ...]
    examples: tuple[str, ...] = ()
    writes: Literal["always", "asked", "never"] = "always"
    then: str = MEASURE

    @property
    def all_fields(self) -> tuple[Field, ...]:
        """The fields, and those that say how its file is written, which `marking.save` takes."""
        return self.fields if self.writes == "never" else (*self.fields, *FILE_FIELDS)

    def read(self, *first: Any, **texts: Any) -> Any:
        """Return the request that the fields' values describe, the `first` ones in the order of `fields`.

        Raises a MarkingError that names the field at fault.
        """
        return self._function("request", "read")(**self._given(first, texts))

    def _given(self, first: Sequence[Any], texts: Mapping[str, Any]) -> dict[str, Any]:
        """The fields that are given, each checked; None stands for a field that is not."""
        fields = {field.name: field for field in self.fields}
        if len(first) > len(fields):
            raise KindError(f"{self.name} is given {len(first)} values", f"at most {len(fields)}")
        given = dict(zip(fields, first, strict=False)) | dict(texts)
        given = {name: value for name, value in given.items() if value is not None}
        for name, value in given.items():
            if name not in fields:
                import difflib  # only a mistake needs it

                known = difflib.get_close_matches(name.lower(), fields, 3, 0.5) or list(fields)
                raise KindError(f"{self.name} has no field {shown(name)}", ", ".join(known), "check the name", name)
            fields[name].check(value)
        for name in fields:
            if fields[name].required and name not in given:
                raise KindError(
                    f"the {plain_name(name)} is missing", fields[name].help, f"give {{@{name}}}", field=name
                )
        return given

    def command(self, *first: Any, **texts: Any) -> str:
        """Return the shell line that makes the output of these values again, in a file of its own.

        Takes, and refuses, what `read` does.
        """
        from .command_line import TARGET, command_line

        target = "" if self.writes == "never" else TARGET
        return command_line(self.name, self.fields, self._given(first, texts), target)

    def plan(self, request: Any) -> Any:
        """Return all numbers of a request, with what is to be said about them as `warnings`. Raises a MarkingError."""
        return self._function("plan", "plan")(request)

    def draw(self, plan: Any, command: str = "") -> Document:
        """Return the finished pages of a plan, with the `command` that prints them again at the foot and in the file.

        Raises LayoutError and CharacterError.
        """
        document: Document = self._function("sheet", "draw")(plan, command)
        return document._replace(command=command)

    def data(self, plan: Any, files: Sequence[str] | Mapping[str, Sequence[str]] = ()) -> dict[str, Any]:
        """Return a plan as JSON-ready data, with the names of the files written."""
        return {"format": 2, **self._function("report", "data")(plan, files)}

    def text(self, plan: Any) -> str:
        """Return a plan as lines of at most 80 columns; for outputs that print, whose `writes` is not "always"."""
        text: str = self._function("report", "text")(plan)
        return text

    def _function(self, module: str, name: str) -> Any:
        home = import_module(self.home)
        return getattr(import_module(f"{self.home}.{module}") if hasattr(home, "__path__") else home, name)


class Outputs(Mapping[str, Output]):
    """The table of outputs by name. A module is loaded when its output is first asked for: it holds `OUTPUT`."""

    def __init__(self, modules: Mapping[str, str]) -> None:
        self.modules = dict(modules)

    def __getitem__(self, name: str) -> Output:
        found: Output = import_module(self.modules[name], __name__).OUTPUT
        return found

    def __contains__(self, name: object) -> bool:
        return name in self.modules

    def __iter__(self) -> Iterator[str]:
        return iter(self.modules)

    def __len__(self) -> int:
        return len(self.modules)


OUTPUTS = Outputs(
    {
        "job": ".job",
        "explain": ".explain",
        "disc": ".disc",
        "mat": ".mat",
        "tape": ".tape",
        "blank": ".blank",
        "proof": ".proof",
        "set": ".sets",
        "record": ".record",
        "chart": ".chart",
        "stretch": ".stretch",
        "lesson": ".lesson",
    }
)
