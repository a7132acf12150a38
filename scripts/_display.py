"""Exit with 0 when the screen named by the environment can be reached, with 1 when not.

Run by scripts/start before the window: Qt itself aborts the process when it finds no screen.
"""

import ctypes
import os
import socket
import sys
from pathlib import Path


def wayland_answers(name: str) -> bool:
    """Connect to the compositor's socket; `name` is a path, or a name in the runtime folder."""
    path = Path(os.environ.get("XDG_RUNTIME_DIR", "/")) / name
    with socket.socket(socket.AF_UNIX) as link:
        try:
            link.connect(str(path))
        except OSError:
            return False
    return True


def x11_answers() -> bool:
    """Connect as Qt's plugin does, through libxcb, so that host, socket and permission are all tried."""
    try:
        xcb = ctypes.CDLL("libxcb.so.1")
    except OSError:
        return False
    xcb.xcb_connect.restype = ctypes.c_void_p
    link = ctypes.c_void_p(xcb.xcb_connect(None, None))
    refused = xcb.xcb_connection_has_error(link)
    xcb.xcb_disconnect(link)
    return not refused


def main() -> int:
    wayland = os.environ.get("WAYLAND_DISPLAY")
    found = bool(wayland) and wayland_answers(str(wayland))
    found = found or (bool(os.environ.get("DISPLAY")) and x11_answers())
    return 0 if found else 1


if __name__ == "__main__":
    sys.exit(main())
