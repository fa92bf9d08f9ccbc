"""Folder of TOML to records and back.

`Store` is the door; it is loaded when first asked for, since a line is logged without it
(`fieldbook.store.append`).
"""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from fieldbook.store.folder import EntryFile, Store

__all__ = ["EntryFile", "Store"]


def __getattr__(name: str) -> Any:
    if name in __all__:
        from fieldbook.store import folder

        return getattr(folder, name)
    raise AttributeError(f"fieldbook.store has no {name}")
