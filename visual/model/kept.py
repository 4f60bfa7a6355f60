"""What was made for the last few keys, so that it need not be made again."""

from collections.abc import Callable
from typing import Any, Generic, TypeVar

T = TypeVar("T")


class Same:
    """A key that is equal to another one of the very same object only.

    It holds the object, so that no other can take its place in memory.
    """

    def __init__(self, held: object) -> None:
        self._held = held

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Same) and self._held is other._held

    def __hash__(self) -> int:
        return id(self._held)


class Kept(Generic[T]):
    """Keeps what was made for the last few keys.

    Parameters
    ----------
    most : int
        How many.
    """

    def __init__(self, most: int) -> None:
        self._most = most
        self._kept: list[tuple[Any, T]] = []

    def of(self, key: Any, make: Callable[[], T]) -> T:
        """Return what was made for an equal key before, or make it."""
        for index, (known, _) in enumerate(self._kept):
            if known == key:
                self._kept.append(self._kept.pop(index))
                break
        else:
            self._kept.append((key, make()))
            del self._kept[: -self._most]
        return self._kept[-1][1]
