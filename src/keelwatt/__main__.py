"""``python -m keelwatt``, and the console command."""

import sys

STOPPED = 130
"""What a shell gives for Ctrl-C."""


def main() -> None:
    """The commands; whoever stops them while they are still being loaded reads no traceback."""
    try:
        from keelwatt.cli import main as run  # noqa: PLC0415

        run()
    except KeyboardInterrupt:
        sys.exit(STOPPED)


if __name__ == "__main__":
    main()
