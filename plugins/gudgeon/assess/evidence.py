"""What rules of thumb have to show for themselves: engines of this site's builds, and of other clubs as the shelf tells them.

Counts of which no more is known stay counts. Clubs stand side by side, each with its own numbers; one engine counts once,
however many of its fits follow the rule and however often it is told.
"""

from collections import Counter
from collections.abc import Iterable, Mapping

from gudgeon_calc.survival import exact_interval, survived

from gudgeon.assess.findings import BuildFindings
from gudgeon.assess.findings.outcomes import (
    ClubEvidence,
    EngineTold,
    HeldAfter,
    HeldShare,
    OutcomeFinding,
    RuleEvidence,
)
from gudgeon.records.model import Build, Knowledge
from gudgeon.records.outcomes import NO_VERDICT, RAN_FREE, OutcomeElsewhere

AFTER_HOURS = (10, 50, 100, 500, 1000)  # at which it is said how many still held: rising, for no source prints any


def evidence_of_rules(
    shelf: Knowledge, worked_out: Iterable[tuple[Build, BuildFindings]] = ()
) -> dict[str, RuleEvidence]:
    """Rule -> what engines tell of it; every rule of the shelf is there. worked_out: the builds of the site."""
    told, counts = _told_here(worked_out), _counts(shelf)
    own = {(engine.club, engine.build) for engines in told.values() for engine in engines}
    own |= {
        (build.sound_head.club.name, was) for build, _ in worked_out for was in (build.id, *build.sound_head.formerly)
    }
    seen: set[tuple[str | None, ...]] = set()
    for club in shelf.outcomes.values():
        for outcome in club.told:
            engine = _elsewhere(outcome, outcome.club or club.club)
            name = (outcome.rule, engine.club, engine.build, engine.fit, engine.since)
            if engine.build is not None and ((engine.club, engine.build) in own or name in seen):
                continue
            seen.add(name)
            told.setdefault(outcome.rule, []).append(engine)
    enough = float(shelf.judgement["enough_run"])
    return {rule: _evidence(rule, counts.get(rule, {}), told.get(rule, []), enough) for rule in shelf.rules}


def _counts(shelf: Knowledge) -> dict[str, dict[str, Counter[str]]]:
    """Rule -> club -> result -> how many, of which no more is known. Of one club told in two files the larger count stands: the
    same engines may be in both."""
    counts: dict[str, dict[str, Counter[str]]] = {}
    for club in shelf.outcomes.values():
        for rule, results in club.counts.items():
            of_rule = counts.setdefault(rule, {})
            told = Counter({str(result): count for result, count in results.items()})
            of_rule[club.club] = max(of_rule.get(club.club, Counter()), told, key=lambda one: one.total())
    return counts


def _told_here(worked_out: Iterable[tuple[Build, BuildFindings]]) -> dict[str, list[EngineTold]]:
    told: dict[str, list[EngineTold]] = {}
    for build, findings in worked_out:
        of_rule: dict[str, list[OutcomeFinding]] = {}
        for outcome in findings.outcomes:
            if outcome.counts and outcome.rule is not None:
                of_rule.setdefault(outcome.rule, []).append(outcome)
        for rule, outcomes in of_rule.items():
            told.setdefault(rule, []).extend(_here(build, findings, outcome) for outcome in _trials(outcomes))
    return told


def _trials(outcomes: list[OutcomeFinding]) -> list[OutcomeFinding]:
    """One outcome for each time that an engine ran: what ran on the same days is one engine that tells once, the first that
    did not hold before those that did, and of these the one that was watched longest."""
    groups: list[list[OutcomeFinding]] = []
    for outcome in sorted(outcomes, key=lambda one: (one.first, one.last)):
        if groups and outcome.first <= max(one.last for one in groups[-1]):
            groups[-1].append(outcome)
        else:
            groups.append([outcome])
    return [min(group, key=_first_to_tell) for group in groups]


def _first_to_tell(outcome: OutcomeFinding) -> tuple[bool, float, str]:
    failed = not _may_still_hold(outcome.result)
    minutes = outcome.minutes or 0.0
    return (not failed, minutes if failed else -minutes, outcome.about)


def _may_still_hold(result: str) -> bool:
    return result in (RAN_FREE, NO_VERDICT)


def _here(build: Build, findings: BuildFindings, outcome: OutcomeFinding) -> EngineTold:
    sizes = [rule.size for rule in findings.rules if rule.rule == outcome.rule and outcome.about in rule.fits]
    return EngineTold(
        club=build.sound_head.club.name,
        engine=build.sound_head.name,
        result=outcome.result,
        minutes=outcome.minutes,
        size=next((size for size in sizes if size is not None), None),
        clearance=outcome.clearance,
        load=outcome.load,
        day=outcome.last,
        year=None,
        said_by=outcome.said_by,
        note=outcome.note,
        build=build.id,
        fit=outcome.about,
        since=outcome.since,
        here=True,
    )


def _elsewhere(outcome: OutcomeElsewhere, club: str) -> EngineTold:
    return EngineTold(
        club=club,
        engine=outcome.engine,
        result=outcome.result,
        minutes=None if outcome.hours is None else float(outcome.hours),
        size=None if outcome.size is None else float(outcome.size),
        clearance=None if outcome.clearance is None else float(outcome.clearance),
        load=outcome.load,
        day=outcome.date.isoformat() if outcome.date else None,
        year=outcome.year,
        said_by=outcome.said_by,
        note=outcome.note,
        build=outcome.build,
        fit=outcome.fit,
        since=outcome.since.isoformat() if outcome.since else None,
        here=False,
    )


def _evidence(rule: str, counts: Mapping[str, Counter[str]], told: list[EngineTold], enough: float) -> RuleEvidence:
    names = sorted({*counts, *(engine.club for engine in told)}, key=str.casefold)
    clubs = tuple(
        _of_club(name, counts.get(name, Counter()), [engine for engine in told if engine.club == name], enough)
        for name in names
    )
    timed = [(engine.minutes, not _may_still_hold(engine.result)) for engine in told if engine.minutes is not None]
    return RuleEvidence(
        rule=rule,
        clubs=clubs,
        share=_share(sum((Counter(dict(club.results)) for club in clubs), Counter())),
        timed=len(timed),
        timed_minutes=sum(minutes for minutes, _ in timed),
        after=tuple(_after(timed)),
    )


def _of_club(club: str, counts: Counter[str], told: list[EngineTold], enough: float) -> ClubEvidence:
    results, untimed, running = Counter(counts), counts[RAN_FREE], 0.0
    for engine in told:
        short = engine.result == RAN_FREE and engine.minutes is not None and engine.minutes < enough
        result = NO_VERDICT if short else engine.result
        results[result] += 1
        untimed += result == RAN_FREE and engine.minutes is None
        running += (engine.minutes or 0.0) if result == NO_VERDICT else 0.0
    return ClubEvidence(
        club=club,
        counts={result: count for result, count in counts.items() if count},
        told=tuple(told),
        results={result: count for result, count in results.items() if count},
        untimed=untimed,
        running_minutes=running,
        share=_share(results),
    )


def _share(results: Counter[str]) -> HeldShare | None:
    held = results[RAN_FREE]
    told = sum(count for result, count in results.items() if result != NO_VERDICT)
    if not told:
        return None
    low, high = exact_interval(held, told)
    return HeldShare(held=held, told=told, low=low, high=high)


def _after(timed: list[tuple[float, bool]]) -> Iterable[HeldAfter]:
    for hours in AFTER_HOURS:
        still = survived(timed, 60.0 * hours)
        if still is not None:
            yield HeldAfter(
                minutes=still.time, at_risk=still.at_risk, share=still.share, low=still.low, high=still.high
            )
