"""Records behave as those of `typing` do."""

from __future__ import annotations

import pickle
import re
from pathlib import Path
from typing import NamedTuple as Reference

import pytest

import tabtools
from tabtools.record import NamedTuple


class Place(NamedTuple):
    """Where something lies."""

    line: int
    column: int | None = None
    name: str = "here"

    @property
    def said(self) -> str:
        return f"{self.name}:{self.line}"

    @classmethod
    def first(cls) -> Place:
        return cls(1, 1)


class Known(Reference):
    """Where something lies."""

    line: int
    column: int | None = None
    name: str = "here"

    @property
    def said(self) -> str:
        return f"{self.name}:{self.line}"

    @classmethod
    def first(cls) -> Known:
        return cls(1, 1)


def test_a_record_is_made_as_a_named_tuple_of_typing() -> None:
    for made, known in ((Place(3), Known(3)), (Place(3, 4, name="there"), Known(3, 4, name="there"))):
        assert tuple(made) == tuple(known)
        assert repr(made) == repr(known).replace("Known", "Place")
        assert hash(made) == hash(known)
        assert made.said == known.said
        assert made._asdict() == known._asdict()
        assert tuple(made._replace(line=9)) == tuple(known._replace(line=9))
    assert tuple(Place.first()) == tuple(Known.first())


def test_a_record_tells_the_same_of_itself() -> None:
    assert (Place._fields, Place._field_defaults) == (Known._fields, Known._field_defaults)
    assert (Place.__doc__, Place.__module__) == (Known.__doc__, Known.__module__)
    assert isinstance(Place.first(), tuple)


def test_every_record_is_declared_the_quick_way() -> None:
    package = Path(tabtools.__file__).parent
    slow = [
        file.name
        for file in package.rglob("*.py")
        if "typing import" in (text := file.read_text("utf-8"))
        and re.search(r"^from typing import .*NamedTuple", text, re.MULTILINE)
    ]
    assert slow == []


def test_a_record_is_pickled_and_not_changed() -> None:
    assert pickle.loads(pickle.dumps(Place(3))) == Place(3)
    with pytest.raises(AttributeError):
        Place(3).line = 4  # type: ignore[misc]
    with pytest.raises(TypeError, match="line"):
        Place()  # type: ignore[call-arg]
