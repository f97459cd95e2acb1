"""How the kernels of the unsteady solver are compiled: once, then kept beside the package."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from pathlib import Path
from typing import Any, TypeVar, cast

import numba

F = TypeVar("F", bound=Callable[..., object])


def kernel(function: F) -> F:
    """Return the function compiled on first use, kept on disk, free of the interpreter's lock.

    >>> kernel(kept).__name__
    'kept'
    """
    # No branches at zero divisors, so that loops become vector instructions; sums may be reordered.
    make = numba.njit(nogil=True, cache=True, error_model="numpy", fastmath=True)
    return cast(F, make(function))


def kept(function: Callable[..., object]) -> bool:
    """Return whether a kernel has been compiled already, here or in an earlier session.

    >>> kept(kernel(kept))
    False
    """
    compiled = cast(Any, function)
    folder = Path(compiled.stats.cache_path)
    name = compiled.py_func.__qualname__
    index = folder.glob(f"{Path(compiled.py_func.__code__.co_filename).stem}.{name}-*.nbi")
    return bool(compiled.signatures) or any(index)


def _drop_stale() -> None:
    """Forget what was compiled before any kernel's source was last changed.

    A kept kernel holds a copy of those it calls, and numba looks only at its own file's date.
    """
    folder = Path(__file__).parent
    kernels = [source for source in folder.glob("*.py") if "@kernel" in source.read_text("utf-8")]
    newest = max(source.stat().st_mtime for source in kernels)
    for index in (folder / "__pycache__").glob("*.nbi"):
        with contextlib.suppress(OSError):
            if index.stat().st_mtime < newest:
                index.unlink()


_drop_stale()
