"""Steps of working out: each notes what it read, and says its name where it fails.

A step has an address such as "fit/A-F01". What it read are inputs: pairs of a kind of record and its id, such as
("reading", "a074"), ("rule", "A-R4") or ("engine", "speed"). Who reads the result of a step rests on all that the step
rests on.

What is promised: where one record alone is changed, added or removed and the result of a step is another, then the step
has noted that record on one side of the change or on the other. So a search may pass over what it does not take, as long
as the record itself decides that (`picked`).
"""

from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any, TypeVar, cast

from gudgeon.records.base import Record
from gudgeon.records.edits import LISTS, SHELF, STORES, WITHDRAWAL, by_text
from gudgeon.records.model import Build, Knowledge

Input = tuple[str, str]  # kind of record, id
Result = TypeVar("Result")
Item = TypeVar("Item")
WHICH = "*"  # in place of an id: which records of the kind there are
NEWEST_DAY = ("day", "newest")


class Steps:
    """The steps of one assessment. noting: whether they note what they read; without it they only say their names.

    earlier: an assessment of the same build, of which results are taken that what changed since cannot reach.
    """

    def __init__(self, noting: bool = False, earlier: "Earlier | None" = None):
        self.noting, self._earlier = noting, earlier
        self.inputs: dict[str, set[Input]] = {}
        self.done: dict[str, Any] = {}  # step -> its result, of those that a later assessment may take
        self._now: set[Input] | None = None

    def step(self, address: str, record: Record | None = None) -> "Step":
        """A context in which a step runs; run again it adds to what it noted. record: what it is about."""
        return Step(self, address, record)

    def note(self, kind: str, name: str | None) -> None:
        """The step that is running reads a record; None is the name of none."""
        if self._now is not None and name is not None:
            self._now.add((kind, name))

    def note_each(self, kind: str, names: Iterable[str]) -> None:
        """The step that is running reads several records of a kind."""
        if self._now is not None:
            self._now.update((kind, name) for name in names)

    def read(self, *addresses: str) -> None:
        """The step that is running reads the results of other steps."""
        if self._now is not None:
            for address in addresses:
                self._now |= self.inputs.get(address, set())

    @contextmanager
    def aside(self) -> Iterator[None]:
        """A context in which the step that is running notes nothing: for a search that reads again what it takes."""
        outer, self._now = self._now, None
        try:
            yield
        finally:
            self._now = outer

    def again(self, address: str, work: Callable[[], Result]) -> Result:
        """The result of the step that is running: that of the earlier assessment where it still holds, else work()."""
        if self._earlier is not None and self._earlier.holds(address):
            return self._earlier.steps.done[address]
        result = work()
        if self.noting:
            self.done[address] = result
        return result

    def once(self, results: dict, key, address: str, work: Callable[[], Result]) -> Result:
        """The result of a step that runs only once: kept in `results` under a key."""
        if key in results:
            self.read(address)
        else:
            with self.step(address):
                results[key] = work()
        return results[key]

    def of_each(
        self,
        kind: str,
        records: Mapping[str, Record],
        work: Callable[[str, Any], Result],
        only: Callable[[Any], bool] = lambda record: True,
    ) -> dict[str, Result]:
        """work(name, record) as a step for each record; who asks for one of the results rests on what that step read.

        only: a test on nothing but the record itself.
        """
        results = {}
        for name, record in unnoted(records).items():
            if only(record):
                address = f"{kind}/{name}"
                with self.step(address, record):  # the record is asked of the store, which notes it
                    results[name] = self.again(address, lambda name=name: work(name, records[name]))
        return self.results(kind, results)

    def results(self, kind: str, results: dict[str, Result]) -> dict[str, Result]:
        """Results of steps by name; who asks for one rests on what the step kind/name read."""
        return Noting(results, lambda name: self.read(f"{kind}/{name}")) if self.noting else results

    def watched(self, build: Build, knowledge: Knowledge) -> tuple[Build, Knowledge]:
        """The same records, behind stores that note what is asked for. The caller's own are not touched."""
        if not self.noting:
            return build, knowledge
        return cast(Build, self._build(build)), cast(Knowledge, self._knowledge(knowledge))

    def _newest_day(self, build: Build) -> None:
        """What decides the newest day: the records of that day, and what was withdrawn."""
        stores = [("reading", {row.id: row for row in build.rows}), ("operation", build.operations)]
        stores += [("instrument", build.instruments), ("instalment", {told.slug: told for told in build.instalments})]
        stores += [("verdict", by_text(build.reviews))]
        stores += [
            (LISTS[store], by_text(getattr(build, store))) for store in ("cuts", "cut_withdrawals", "runs", "outcomes")
        ]
        stores += [
            ("operation", {name: operation.set_up for name, operation in build.operations.items() if operation.set_up})
        ]
        names = {id(record): (kind, name) for kind, records in stores for name, record in records.items()}
        with self.step("/".join(NEWEST_DAY)):
            for withdrawal in build.reading_withdrawals:
                self.note(WITHDRAWAL, withdrawal.id)
            for store in ("review_withdrawals", "run_withdrawals", "outcome_withdrawals"):
                for name in by_text(getattr(build, store)):
                    self.note(LISTS[store], name)
            for day, record in build.dated():
                if day == build.newest_date and id(record) in names:
                    self.note(*names[id(record)])

    def _store(self, kind: str, records: Mapping[str, Item]) -> "Noting[Item]":
        return Noting(records, lambda name: self.note(kind, name), lambda: self.note(kind, WHICH))

    def _list(self, kind: str, records: Mapping[str, Item]) -> "NotingList[Item]":
        return NotingList(records, lambda name: self.note(kind, name))

    def _build(self, build: Build) -> "View":
        written = build.sound_head
        head = View(
            written,
            lambda key: self.note("build", key),
            engine=View(written.engine, lambda key: self.note("engine", key)),
            cases=self._store("temperature case", written.cases),
            people=self._store("person", written.people),
            thermometers=self._store("thermometer", written.thermometers),
            upkeep=self._store("upkeep", written.upkeep),
        )
        self._newest_day(build)
        lists = {store: self._list(kind, by_text(getattr(build, store))) for store, kind in LISTS.items()}

        def told(name: str) -> None:
            if name == "newest_date":
                self.note(*NEWEST_DAY)
            elif name == "standing_reviews":
                for store in ("reviews", "review_withdrawals"):
                    list(lists[store])

        return View(
            build,
            told,
            head=head,
            sound_head=head,
            parts=self._store("part", build.parts),
            features=self._store("feature", build.features),
            rows=self._list("reading", {row.id: row for row in build.rows}),
            **lists,
            **{store: self._store(kind, getattr(build, store)) for store, kind in STORES.items()},
        )

    def _knowledge(self, knowledge: Knowledge) -> "View":
        return View(
            knowledge,
            lambda name: self.note("knowledge", name),
            **{store: self._store(kind, getattr(knowledge, store)) for store, kind in SHELF.items()},
        )


@dataclass(frozen=True)
class Earlier:
    """An assessment that noted what it read, and the rules that are others since.

    Only rules: they are there before and after, and are asked for by name alone, never picked by what they say. So a step that
    read none of them there would read none of them now.
    """

    steps: Steps
    changed: frozenset[Input]

    def holds(self, address: str) -> bool:
        """Whether the result of a step is what it would be now."""
        steps = self.steps
        return address in steps.done and address in steps.inputs and not steps.inputs[address] & self.changed


class Step:
    """One step while it runs. An exception that leaves it carries its name and the place of its record."""

    __slots__ = ("_address", "_noted", "_outer", "_record", "_steps")

    def __init__(self, steps: Steps, address: str, record: Record | None):
        self._steps, self._address, self._record = steps, address, record

    def __enter__(self) -> None:
        steps = self._steps
        if steps.noting:
            self._outer, self._noted = steps._now, set()
            steps._now = self._noted

    def __exit__(self, kind, error: BaseException | None, trace) -> None:
        steps = self._steps
        if steps.noting:
            steps.inputs.setdefault(self._address, set()).update(self._noted)
            if self._outer is not None:
                self._outer |= self._noted
            steps._now = self._outer
        if error is not None and not hasattr(error, "step"):
            error.step = self._address.replace("/", " ")  # type: ignore[attr-defined]
            error.record = self._record.where() if self._record is not None else None  # type: ignore[attr-defined]


class Noting(dict[str, Item]):
    """A dict that tells which of its entries are asked for. records: the dict itself, for who tells it otherwise."""

    __slots__ = ("_all", "_one", "records")

    def __init__(
        self, records: Mapping[str, Item], one: Callable[[str], None], which: Callable[[], None] = lambda: None
    ):
        super().__init__(records)
        self.records = records
        self._one, self._all = one, which

    def note(self, name: str) -> None:
        """One of them is read."""
        self._one(name)

    def _whole(self) -> None:
        self._all()
        for name in self.records:
            self._one(name)

    def __getitem__(self, name: str) -> Item:
        self._one(name)
        return super().__getitem__(name)

    def get(self, name, default=None):
        """As a dict's."""
        self._one(name)
        return super().get(name, default)

    def __contains__(self, name) -> bool:
        self._one(name)
        return super().__contains__(name)

    def __iter__(self) -> Iterator[str]:
        self._whole()
        return super().__iter__()

    def __len__(self) -> int:
        self._whole()
        return super().__len__()

    def keys(self):
        """As a dict's."""
        self._whole()
        return super().keys()

    def values(self):
        """As a dict's."""
        self._whole()
        return super().values()

    def items(self):
        """As a dict's."""
        self._whole()
        return super().items()


class NotingList(list[Item]):
    """A list that tells which of its entries are read: all of them, unless `picked` takes some."""

    __slots__ = ("_names", "_one")

    def __init__(self, records: Mapping[str, Item], one: Callable[[str], None]):
        super().__init__(records.values())
        self._one, self._names = one, tuple(records)

    def __iter__(self) -> Iterator[Item]:
        for name in self._names:
            self._one(name)
        return super().__iter__()

    def pick(self, test: Callable[[Item], bool]) -> list[Item]:
        """Those that pass a test, which alone are noted."""
        taken = []
        for name, record in zip(self._names, super().__iter__(), strict=True):
            if test(record):
                self._one(name)
                taken.append(record)
        return taken


class View:
    """An object behind which some attributes are others. told: hears the name of every other attribute that is read."""

    def __init__(self, of: object, told: Callable[[str], None], **instead):
        self.__dict__.update(instead)
        self._of, self._told = of, told

    def __getattr__(self, name: str):
        self._told(name)
        return getattr(self._of, name)


def rests_on(inputs: Mapping[str, frozenset[Input]], kind: str, name: str) -> frozenset[Input]:
    """What a finding rests on, by what it is of: the first two parts of its address in the ledger.

    Of several findings of one step, and of those that only together with others are there, the step's inputs.
    """
    words = name.split(" ")
    for count in range(len(words), 0, -1):
        address = f"{kind}/{' '.join(words[:count])}"
        if address in inputs:
            return inputs[address]
    return inputs.get(kind, frozenset())


def unnoted(records: Mapping[str, Item]) -> Mapping[str, Item]:
    """Records to look through without a note of it: for a search that notes what it takes."""
    return records.records if isinstance(records, Noting) else records


def picked(records: Mapping[str, Item], test: Callable[[Item], bool]) -> dict[str, Item]:
    """The records that pass a test on nothing but the record itself; only they are noted."""
    taken = {name: record for name, record in unnoted(records).items() if test(record)}
    if isinstance(records, Noting):
        for name in taken:
            records.note(name)
    return taken


def picked_rows(records: Iterable[Item], test: Callable[[Item], bool]) -> list[Item]:
    """The same of a list."""
    return records.pick(test) if isinstance(records, NotingList) else [record for record in records if test(record)]


def first(records: Mapping[str, Item], test: Callable[[Item], bool]) -> str | None:
    """The name of the first record that passes a test on nothing but the record itself; only it is noted."""
    name = next((name for name, record in unnoted(records).items() if test(record)), None)
    if name is not None and isinstance(records, Noting):
        records.note(name)
    return name
