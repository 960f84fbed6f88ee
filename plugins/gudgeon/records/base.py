"""The base of all records: each knows where it, and every record inside it, stands in its file."""

from pydantic import BaseModel, ConfigDict, PrivateAttr

from gudgeon.records.plain_data import is_map, is_sequence
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

    def stand_at(self, document: Document, path: Path_) -> None:
        """Tell this record where it stands."""
        self._document, self._path = document, path


def set_positions(record: Record, document: Document, path: Path_) -> None:
    """Tell a record and all records inside it where they stand."""
    record.stand_at(document, path)
    for name, field in type(record).model_fields.items():
        alias = field.alias or name
        value = getattr(record, name)
        if isinstance(value, Record):
            set_positions(value, document, (*path, alias))
        elif is_map(value):
            for key, inner in value.items():
                if isinstance(inner, Record):
                    set_positions(inner, document, (*path, alias, key))
        elif is_sequence(value):
            for index, inner in enumerate(value):
                if isinstance(inner, Record):
                    set_positions(inner, document, (*path, alias, index))
