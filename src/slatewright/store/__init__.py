"""The only SQL: what is kept, in a folder of this machine or on a server."""

from slatewright.store.opening import open_store
from slatewright.store.workspace import Workspace, open_workspace, restore

__all__ = ["Workspace", "open_store", "open_workspace", "restore"]
