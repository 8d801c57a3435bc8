"""`python -m planlint` does what `planlint` does."""

from planlint.cli.main import main

main()
