"""The rules a procedure is held against, and the only maker of a ``CheckedProcedure``."""

from author.checks.concessions import Conceded
from author.checks.remarks import Neighbour, Remark, Rule, Severity, all_rules
from author.checks.verdict import CheckedProcedure, DraftProcedure, Publishable, Verdict, check

__all__ = [
    "CheckedProcedure",
    "Conceded",
    "DraftProcedure",
    "Neighbour",
    "Publishable",
    "Remark",
    "Rule",
    "Severity",
    "Verdict",
    "all_rules",
    "check",
]
