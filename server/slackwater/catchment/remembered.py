"""What was made of columns that never change, found again by which objects they were.

An edit of a database leaves all columns but one as they are, the very same objects, so most of what
was understood of them before holds. Only what nobody can change is remembered: tuples of cells, and
arrays that are closed to writing.
"""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Callable, Hashable
from threading import Lock
from typing import Any, Generic, TypeVar

import numpy as np

T = TypeVar("T")


class Remembered(Generic[T]):
    """The last so many results, by the objects each was made of; safe from many threads."""

    def __init__(self, most: int) -> None:
        self._most = most
        # the objects are held beside the result, so that no other takes their place in memory
        self._kept: OrderedDict[Hashable, tuple[tuple[Any, ...], T]] = OrderedDict()
        self._turn = Lock()

    def of(self, objects: tuple[Any, ...], make: Callable[[], T], *more: Hashable) -> T:
        """Give what ``make`` gives, or gave for these very objects.

        Parameters
        ----------
        more : what else the result follows from, compared by value.
        """
        if not all(map(lasting, objects)):
            return make()
        key = (*map(id, objects), *more)
        with self._turn:
            if key in self._kept:
                self._kept.move_to_end(key)
                return self._kept[key][1]
        made = make()
        with self._turn:
            self._kept[key] = (objects, made)
            if len(self._kept) > self._most:
                self._kept.popitem(last=False)
        return made


def lasting(each: Any) -> bool:
    """Whether nobody can change an object: a tuple, or an array closed to writing."""
    return type(each) is tuple or (isinstance(each, np.ndarray) and not each.flags.writeable)
