"""Rows of lists and sets of them, as tests want them."""

from __future__ import annotations

from typing import Any, cast

from marking import OUTPUTS
from marking.lists.items import Item
from marking.outputs.sets.plan import SetPlan, plan_set
from marking.outputs.sets.request import SetOptions
from marking.sheets.paper import SIZES, Paper


def an_item(**more: object) -> Item:
    usual = {"id": "X", "spec": "60 N·m + 90° ±10", "points": 6, "drive": "1/2", "opening": None, "od": "28 mm"}
    return Item(**{**usual, "around": None, "file": "list.csv", "row": 2, **more})  # type: ignore[arg-type]


def a_set(items: list[Item], **options: object) -> SetPlan:
    return plan_set(items, SetOptions(Paper(*SIZES["a4"]), **options))  # type: ignore[arg-type]


def the_set(list_file: str | None = None, **texts: Any) -> SetPlan:
    """The one set that a list or turns make."""
    made = OUTPUTS["set"]
    (found,) = made.plan(made.read(list_file, **texts)).plans.values()
    return cast(SetPlan, found)
