"""How a build is cited: in a line, and as a CITATION.cff (Citation File Format 1.2.0)."""

import yaml

from gudgeon.assess.findings import BuildFindings
from gudgeon.records.model import Build


def authors_of(build: Build) -> list[str]:
    """Who tells the build's story, in order of first telling; of a build without a story its first person."""
    people = build.sound_head.people
    ids = list(dict.fromkeys(told.head.by for told in build.instalments)) or list(people)[:1]
    return [people[name].name for name in ids if name in people]


def cited_as(build: Build, findings: BuildFindings) -> str:
    """How to cite a build, in a line. Dated by its newest record; undated where it has none."""
    head = build.sound_head
    year = findings.as_of[:4] if findings.as_of else "undated"
    state = f"Records as of {findings.as_of}." if findings.as_of else "No dated record yet."
    return f"{', '.join(authors_of(build)) or head.club.name} ({year}). {head.name}: records of an engine build. {head.club.name}. {state}"


def citation_file(build: Build, findings: BuildFindings) -> str:
    """CITATION.cff of a build."""
    head = build.sound_head
    told = {
        "cff-version": "1.2.0",
        "message": "If you use these records, please cite them as below.",
        "type": "dataset",
        "title": f"{head.name}: records of an engine build",
        "abstract": head.about,
        "authors": [_person(name) for name in authors_of(build)] or [{"name": head.club.name}],
        "version": findings.as_of,
        "date-released": findings.as_of,
        "license": head.licences.data if head.licences else None,
        "keywords": ["engine build", head.engine.layout],
    }
    return yaml.safe_dump(
        {key: value for key, value in told.items() if value is not None}, sort_keys=False, allow_unicode=True, width=100
    )


def _person(name: str) -> dict[str, str]:
    given, _, family = name.rpartition(" ")
    return {"family-names": family, "given-names": given} if given else {"alias": name}
