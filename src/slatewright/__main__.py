"""``python -m slatewright`` is the command ``slatewright``."""

from slatewright.cli.app import main

main()
