"""Dimension chains: what is left over keeps its limits when all links have theirs."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from author.checks.remarks import Path, Remark, Subject, remark
from author.procedure.chains import Link, root_sum_square, worst_case
from author.procedure.quantities import round_fraction
from author.procedure.specs import Chain, ChainLink, LimitSpec
from author.procedure.units import Unit, all_units


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on dimension chains."""
    specs = {spec.id: spec for _, _, spec in subject.procedure.placed_specs()}
    for index, chain in enumerate(subject.procedure.chains):
        yield from _chain(chain, specs, ("chains", index))


def _chain(chain: Chain, specs: dict[str, LimitSpec], path: Path) -> Iterator[Remark]:
    unit = all_units()[chain.unit]
    links: list[Link] = []
    for number, link in enumerate(chain.links):
        ends = _ends(link, specs, unit)
        if isinstance(ends, str):
            yield remark("limits.chain_link", f"'{link.what}' {ends}", (*path, "links", number))
        elif ends is not None:
            links.append(Link(1 if link.direction == "adds" else -1, *ends))
    closing = specs.get(chain.closes)
    if closing is None or len(links) != len(chain.links):
        return
    if all_units()[closing.unit].quantity != unit.quantity:
        said = f"'{chain.closes}' is not measured in a unit like {unit.symbol}"
        yield remark("limits.chain_link", said, (*path, "closes"))
        return
    found = (worst_case if chain.method == "worst_case" else root_sum_square)(links)
    allowed = _in_unit(closing, unit)
    low, high = allowed if allowed != (None, None) else (found.lower, found.upper)
    if (low is not None and found.lower < low) or (high is not None and found.upper > high):
        yield remark(
            "limits.chain",
            f"the links of '{chain.id}' leave {found.lower.normalize():f} to "
            f"{found.upper.normalize():f} {unit.symbol}, but '{closing.id}' allows "
            f"{_text(low)} to {_text(high)}",
            path,
        )


def _text(value: Decimal | None) -> str:
    return "any" if value is None else f"{value:f}"


def _ends(
    link: ChainLink, specs: dict[str, LimitSpec], unit: Unit
) -> tuple[Decimal, Decimal] | str | None:
    """Return both limits of a link, what is wrong with it, or None if another rule tells."""
    given = (link.lower, link.upper)
    if link.spec is not None:
        if given != (None, None):
            return "has limits of its own beside those of its spec"
        spec = specs.get(link.spec)
        if spec is None:
            return None
        if all_units()[spec.unit].quantity != unit.quantity:
            return f"is not measured in a unit like {unit.symbol}"
        given = _in_unit(spec, unit)
    lower, upper = given
    if lower is None or upper is None:
        return "has not both limits"
    return "has crossed limits" if lower > upper else (lower, upper)


def _in_unit(spec: LimitSpec, unit: Unit) -> tuple[Decimal | None, Decimal | None]:
    """Return a spec's limits in a unit, exact or to twelve decimals."""
    own = all_units()[spec.unit]

    def convert(value: Decimal | None) -> Decimal | None:
        if value is None or own == unit:
            return value
        return round_fraction(Fraction(unit.from_si(own.to_si(value))), 12)

    return convert(spec.lower), convert(spec.upper)
