"""Many small cases of one test in a single run: to run a test takes longer than most cases take to try."""

from __future__ import annotations

import functools
import inspect
from collections.abc import Callable, Iterable, Sequence
from typing import Any

import pytest

Test = Callable[..., None]


def each(names: str | Sequence[str], cases: Iterable[Any]) -> Callable[[Test], Test]:
    """Call a test with every case, as `pytest.mark.parametrize` would, and fail with all cases that fail, each named.

    Fixtures are shared by the cases: for tests that patch nothing, and that may find what another case has written.
    """
    single = isinstance(names, str) and "," not in names
    wanted = [name.strip() for name in names.split(",")] if isinstance(names, str) else list(names)
    given = [dict(zip(wanted, (case,) if single else case, strict=True)) for case in cases]
    assert given, "there is nothing to try"

    def decorated(test: Test) -> Test:
        tried: tuple[Test, list[dict[str, Any]]] = getattr(test, "tried", (test, [{}]))
        inner, more = tried  # of one `each` under another, whose cases are all tried with all of these
        cases = [case | other for case in given for other in more]

        @functools.wraps(inner)
        def run(**fixtures: Any) -> None:
            failures = [failure for case in cases if (failure := _failure(inner, case, fixtures))]
            if failures:  # of which only the first ones are shown at length
                named = "\n".join(failure.__notes__[-1] for failure in failures)
                raise BaseExceptionGroup(f"{len(failures)} of {len(cases)} cases:\n{named}\n", failures)

        signature = inspect.signature(inner)
        others = [one for one in signature.parameters.values() if one.name not in cases[0]]
        vars(run).update(tried=(inner, cases), __signature__=signature.replace(parameters=others))
        return run

    return decorated


def _failure(test: Test, case: dict[str, Any], fixtures: dict[str, Any]) -> BaseException | None:
    try:
        test(**case, **fixtures)
    except (Exception, pytest.fail.Exception) as failure:
        failure.add_note(f"with {', '.join(f'{name}={value!r}' for name, value in case.items())}")
        return failure
    return None
