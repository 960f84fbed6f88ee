"""Findings: everything that is computed for a build, as data.

These models are what pages show, what findings.json holds and what its JSON Schema and reference page are
made from. Lengths are in mm at 20 °C unless a field says otherwise; U is expanded uncertainty, k = 2.
Positive clearance is clearance, negative interference; clearances and stock are on diameter.
"""

from gudgeon.assess.findings.base import Component, Finding, Formula, Note, Source
from gudgeon.assess.findings.calculations import (
    ApplyingCautions,
    Calculation,
    DangerFinding,
    DangerState,
    PatternSize,
    Term,
    TimingMark,
)
from gudgeon.assess.findings.club import ClubFindings, CopyMistake, Ground, SumOffered
from gudgeon.assess.findings.due import DueFinding, RunningFinding
from gudgeon.assess.findings.fits import (
    DirectReading,
    EarlierWant,
    FitEnd,
    FitFinding,
    FitMove,
    HotCase,
    NearClass,
    PlannedLimits,
    RingFinding,
    RuleFinding,
)
from gudgeon.assess.findings.set_ups import JawMove, SetUpFinding, SetUpSection
from gudgeon.assess.findings.sizes import (
    AsRead,
    Cell,
    Comparison,
    CrossReading,
    FeatureFinding,
    Form,
    FormVerdict,
    Generation,
    LobingFinding,
    RowFinding,
    SectionForm,
    Stock,
)
from gudgeon.assess.findings.whole import (
    BuildFindings,
    GaugeFinding,
    MetalFinding,
    OperationFinding,
    Progress,
    Recall,
    SuspectedMistake,
)
from gudgeon.assess.findings.work import CutFinding, CutPlan, Forecast, KindFactor, Pass, ShownAt, TakeAt

__all__ = [
    "PlannedLimits",
    "ApplyingCautions",
    "CutFinding",
    "CutPlan",
    "Forecast",
    "KindFactor",
    "Pass",
    "DueFinding",
    "JawMove",
    "SetUpFinding",
    "SetUpSection",
    "RunningFinding",
    "ShownAt",
    "TakeAt",
    "ClubFindings",
    "Ground",
    "CopyMistake",
    "SumOffered",
    "Calculation",
    "DangerFinding",
    "DangerState",
    "PatternSize",
    "Term",
    "TimingMark",
    "AsRead",
    "BuildFindings",
    "Cell",
    "Comparison",
    "Component",
    "CrossReading",
    "DirectReading",
    "EarlierWant",
    "FeatureFinding",
    "Finding",
    "FitEnd",
    "FitFinding",
    "FitMove",
    "Form",
    "FormVerdict",
    "LobingFinding",
    "Formula",
    "GaugeFinding",
    "NearClass",
    "Note",
    "Generation",
    "HotCase",
    "MetalFinding",
    "OperationFinding",
    "Progress",
    "Recall",
    "RingFinding",
    "RowFinding",
    "RuleFinding",
    "SectionForm",
    "SuspectedMistake",
    "Source",
    "Stock",
]
