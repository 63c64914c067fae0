"""Write the JSON Schemas of all tables that can be handed out, and the page that lists their columns."""

from pathlib import Path

from kerfsmith.exchange.export.reference import reference_files

FOLDER = Path(__file__).parent.parent / "docs" / "exports"


def main() -> None:
    """Write every file of the reference afresh."""
    FOLDER.mkdir(exist_ok=True)
    for name, text in reference_files().items():
        (FOLDER / name).write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
