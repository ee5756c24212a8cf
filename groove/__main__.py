"""The program: `groove`, and `python -m groove`."""

import sys


def main() -> None:
    """Run the command line. Stopped while it is still loading, it ends in one line, too."""
    try:
        from groove.cli import main as run
    except KeyboardInterrupt:
        sys.exit("groove: stopped; nothing was written")
    run()


if __name__ == "__main__":
    main()
