"""`python -m candlebench` and the installed commands."""

import sys


def main() -> int:
    """Run the command line; the exit code is 0 done, 1 something to put right, 2 wrong usage."""
    from candlebench.cli import run

    return run(sys.argv[1:])


def main_window() -> int:
    """Open the window, for desktops that start programs without a console."""
    from candlebench.cli import run

    return run([a for a in sys.argv[1:] if a.startswith("--")])


if __name__ == "__main__":
    sys.exit(main())
