"""Columns and cells of the tables in templates: a column knows its heading, a row pairs its cells with the columns."""

from collections.abc import Iterable

from markupsafe import Markup, escape

FIGURES = "g-num"


class Column(str):
    """The heading of a column. css: the class of its cells; a column of figures has its heading set like them."""

    css: str

    def __new__(cls, heading: str, css: str = ""):
        column = super().__new__(cls, heading)
        column.css = css or getattr(heading, "css", "")
        return column

    @property
    def figures(self) -> bool:
        return self.css == FIGURES


class Cell(Markup):
    """What a cell shows, with a class of its own beside that of its column."""

    css: str

    def __new__(cls, content, css: str):
        cell = super().__new__(cls, escape(content))
        cell.css = css
        return cell


def paired(columns: list[Column], cells: Iterable) -> list[tuple[Column, object, str]]:
    """(column, what the cell shows, its classes) cell by cell; a row of another length is a fault of the template."""
    return [
        (
            column,
            "" if cell is None else cell,
            f"{column.css} {cell.css}".strip() if isinstance(cell, Cell) else column.css,
        )
        for column, cell in zip(columns, cells, strict=True)
    ]


FILTERS = {
    "column": Column,
    "figures": lambda heading: Column(heading, FIGURES),
    "cell": Cell,
    "paired": paired,
}
