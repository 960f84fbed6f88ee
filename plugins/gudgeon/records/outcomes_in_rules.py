"""Outcomes as they stood in the files of rules before they had files of their own: read as if they stood there."""

from gudgeon.records.knowledge import Origin, Rule, Sharing
from gudgeon.records.outcomes import ClubOutcomes, OutcomeElsewhere

WHERE = "in-rules"  # takes the place of the name of a file
THIS_CLUB = "this club"  # where nothing says whose shelf it is


def outcomes_in_rules(
    rules: dict[str, Rule], sharing: Sharing | None, origins: dict[str, Origin]
) -> dict[str, ClubOutcomes]:
    """Name -> what one club tells. What stands in a rule is of the club that gave the rule, else of the shelf's own."""
    own = sharing.club if sharing else THIS_CLUB
    by_club: dict[str, list[Rule]] = {}
    for name, rule in rules.items():
        if rule.outcomes or rule.told:
            origin = origins.get(f"rule {name}")
            by_club.setdefault(origin.club if origin else own, []).append(rule)
    return {
        f"{WHERE}-{number}": ClubOutcomes(
            outcomes=f"{WHERE}-{number}",
            club=club,
            counts={rule.rule: rule.outcomes for rule in told if rule.outcomes},
            told=tuple(
                OutcomeElsewhere(
                    rule=rule.rule,
                    engine=outcome.engine,
                    result=outcome.result,
                    hours=outcome.hours,
                    date=outcome.told,
                    note=outcome.note,
                )
                for rule in told
                for outcome in rule.told
            ),
        )
        for number, (club, told) in enumerate(sorted(by_club.items()), start=1)
    }
