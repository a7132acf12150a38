"""What the system says when it does not open a serial port, in sentences that help."""

import errno

from candlebench.words import tr


def why_not_opened(error: Exception, path: str, baud: int) -> tuple[str, str]:
    """Return the trouble's code and one sentence that says what to do."""
    number = getattr(error, "errno", None)
    words = str(error)
    if isinstance(error, ValueError):
        return "missing", tr("{path} cannot be set to {baud} baud: choose another speed.").format(
            path=path, baud=baud
        )
    # On Windows a port in use answers with a refusal, and pyserial passes on nothing but its words.
    in_use = number in (errno.EBUSY, errno.EAGAIN, errno.EWOULDBLOCK) or "PermissionError(13" in words
    if in_use:
        return "busy", tr("{path} is in use by another program: close that one.").format(path=path)
    if number in (errno.EACCES, errno.EPERM):
        return "permission", tr(
            "No permission to use {path}: run “sudo usermod -aG dialout $USER”, then log out and in again."
        ).format(path=path)
    if number in (errno.ENOTTY, errno.EINVAL, errno.EISDIR) or "Could not configure port" in words:
        return "missing", tr("{path} is no serial port: choose another one.").format(path=path)
    return "missing", tr("No thermometer at {path}: plug it in or choose another port.").format(path=path)
