"""The errors a person can do something about, and how they are told apart from our own bugs.

    CandlebenchError
    ├── FixableError    port busy, permission, unplugged, disk full, an impossible number typed:
    │                   its text is one sentence that says what to do
    └── BadDataError    a file or a record that cannot be understood: its text names the place

Anything else that is raised is a bug: it propagates and is logged with its traceback.
"""


class CandlebenchError(Exception):
    """Any error whose text is meant for the person at the hob."""


class FixableError(CandlebenchError):
    """Something the person can put right; the text says how in one sentence."""


class BadDataError(CandlebenchError):
    """A file or record that cannot be read; the text says where and what was expected."""
