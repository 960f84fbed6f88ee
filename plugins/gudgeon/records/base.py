"""The base of all records: each knows where it, and every record inside it, stands in its file."""

from pydantic import BaseModel, ConfigDict, PrivateAttr

from gudgeon.records.problems import Where
from gudgeon.records.yaml_text import Document, Path_


class Record(BaseModel):
    """A record from a file. Knows where each of its fields stands."""

    model_config = ConfigDict(
        extra="forbid", frozen=True, arbitrary_types_allowed=True, populate_by_name=True, ignored_types=(property,)
    )

    _document: Document | None = PrivateAttr(default=None)
    _path: Path_ = PrivateAttr(default=())

    def where(self, *path: str | int) -> Where:
        """Where this record, or a field inside it, stands."""
        return self._document.where((*self._path, *path)) if self._document else Where("")


def set_positions(record: Record, document: Document, path: Path_) -> None:
    """Tell a record and all records inside it where they stand."""
    record._document, record._path = document, path
    for name in type(record).model_fields:
        alias = type(record).model_fields[name].alias or name
        value = getattr(record, name)
        if isinstance(value, Record):
            set_positions(value, document, (*path, alias))
        elif isinstance(value, dict):
            for key, inner in value.items():
                if isinstance(inner, Record):
                    set_positions(inner, document, (*path, alias, key))
        elif isinstance(value, (list, tuple)):
            for index, inner in enumerate(value):
                if isinstance(inner, Record):
                    set_positions(inner, document, (*path, alias, index))
