"""Named tuples that are declared in less than half the time.

`typing.NamedTuple` compiles the annotation of every field, and a start declares more than a hundred records;
here annotations are for readers and type checkers alone.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import NamedTuple as NamedTuple
else:
    from collections import namedtuple

    _BY_NAMEDTUPLE = ("__dict__", "__module__", "__qualname__", "__slots__", "__weakref__")

    class _Declared(type):
        """Makes of a class body what `typing.NamedTuple` would make of it."""

        def __new__(cls, name, bases, body):
            fields = body.get("__annotations__", {})
            defaults = [body.pop(field) for field in fields if field in body]
            made = namedtuple(name, fields, defaults=defaults, module=body["__module__"])
            for key, value in body.items():
                if key not in _BY_NAMEDTUPLE:
                    setattr(made, key, value)
            return made

    NamedTuple = type.__new__(_Declared, "NamedTuple", (), {"__doc__": "The base of a record."})
