"""The one block of bytes of a glTF file, and the records that say what is where in it."""

from typing import Any

import numpy as np
import pygltflib as gltf
from numpy.typing import NDArray


class Block:
    """Bytes of arrays, one after the other.

    Parameters
    ----------
    document : GLTF2
        Gets a view and an accessor for each array.
    """

    def __init__(self, document: gltf.GLTF2) -> None:
        self.document = document
        self.bytes = bytearray()

    def positions(self, values: NDArray[np.float32]) -> int:
        """Add points, shape (n, 3), and return the number of their accessor."""
        return self.vectors(
            values,
            min=[float(v) for v in values.min(axis=0)],
            max=[float(v) for v in values.max(axis=0)],
        )

    def vectors(self, values: NDArray[np.float32], **bounds: list[float]) -> int:
        """Add triples, shape (n, 3), and return the number of their accessor."""
        accessor = gltf.Accessor(
            componentType=gltf.FLOAT, count=len(values), type=gltf.VEC3, **bounds
        )
        return self._add(values, accessor, gltf.ARRAY_BUFFER)

    def indices(self, numbers: NDArray[Any]) -> int:
        """Add numbers of points, of any shape, and return the number of their accessor."""
        values = numbers.ravel().astype(np.uint32)
        accessor = gltf.Accessor(
            componentType=gltf.UNSIGNED_INT, count=len(values), type=gltf.SCALAR
        )
        return self._add(values, accessor, gltf.ELEMENT_ARRAY_BUFFER)

    def close(self) -> None:
        """Hand the bytes to the document."""
        self.document.buffers = [gltf.Buffer(byteLength=len(self.bytes))]
        self.document.set_binary_blob(bytes(self.bytes))

    def _add(self, values: NDArray[Any], accessor: gltf.Accessor, target: int) -> int:
        """Append the bytes of an array; all parts are four bytes wide, so they stay aligned."""
        raw = values.tobytes()
        view = gltf.BufferView(
            buffer=0, byteOffset=len(self.bytes), byteLength=len(raw), target=target
        )
        self.bytes += raw
        self.document.bufferViews.append(view)
        accessor.bufferView = len(self.document.bufferViews) - 1
        self.document.accessors.append(accessor)
        return len(self.document.accessors) - 1
