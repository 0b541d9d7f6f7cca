"""`python -m coatwright` is the command line."""

from coatwright.faces.cli.main import run

if __name__ == "__main__":
    run()
