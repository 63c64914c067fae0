"""What a group is told of substitutes: which pieces are cut from what, what it saves, how sure it is."""

from collections.abc import Iterator, Sequence

from kerfsmith.planning.plan import PlanGroup
from kerfsmith.planning.substituted import SubstitutesPrice
from kerfsmith.shop.order import Material, OrderLine
from kerfsmith.units.told import Told, how_many, joined, sentence


def told_of(
    group: PlanGroup,
    groups: Sequence[PlanGroup],
    lines: Sequence[OrderLine],
    price: SubstitutesPrice,
    refused: SubstitutesPrice | None = None,
) -> tuple[Told, ...]:
    """The notes of one of ``groups``, which were chosen together for ``lines``. ``refused``: what other
    substitutes would save on bars, against these groups, that weren't worth their set-up."""
    here = group.material
    notes = [
        sentence(
            "{count} × {mark}, ordered in {ordered}, are cut from {here}: the order allows it",
            count=one.count,
            mark=one.mark,
            ordered=one.ordered.name,
            here=here.name,
        )
        for one in group.substituted
    ]
    notes += [
        sentence(
            "{count} × {mark} are cut from {there} instead: the order allows it",
            count=one.count,
            mark=one.mark,
            there=other.material.name,
        )
        for other in groups
        for one in other.substituted
        if one.ordered == here
    ]
    if any(other.substituted for other in groups):
        return (*notes, *_saved(price), *_not_worth(refused))
    return tuple(_not_worth(refused) if refused else _nothing_saved(here, lines, price))


def _saved(price: SubstitutesPrice) -> Iterator[Told]:
    gains = [
        how_many("1 piece more can be cut", "{count} pieces more can be cut", price.pieces),
        how_many("1 bar less is to be bought", "{count} bars less are to be bought", price.to_buy),
        how_many("1 bar less is taken", "{count} bars less are taken", price.bars),
        sentence("bars cost {cost} {unit} less", cost=f"{price.cost:,.2f}", unit=price.cost_unit),
        how_many("1 run less is to be set up", "{count} runs less are to be set up", price.runs),
        how_many("1 run more is to be set up", "{count} runs more are to be set up", -price.runs),
        sentence("band changes cost {set_up} {unit} more", set_up=f"{-price.set_up:,.2f}", unit=price.money),
    ]
    amounts = (price.pieces, price.to_buy, price.bars, price.cost, price.runs, -price.runs, -price.set_up)
    told = joined("; ", (gain for gain, amount in zip(gains, amounts, strict=True) if amount > 0))
    yield sentence("with the substitutes, against cutting what was ordered: {gains}", gains=told)
    yield _standing(price)


def _not_worth(refused: SubstitutesPrice | None) -> Iterator[Told]:
    """Why substitutes that would save on bars aren't taken."""
    if refused is not None:
        yield sentence(
            "with other substitutes bars would cost {cost} {unit} less, but band changes {set_up} {money} "
            "more: not taken",
            cost=f"{refused.cost:,.2f}",
            unit=refused.cost_unit,
            set_up=f"{-refused.set_up:,.2f}",
            money=refused.money,
        )


def _nothing_saved(here: Material, lines: Sequence[OrderLine], price: SubstitutesPrice) -> Iterator[Told]:
    for line in lines:
        if line.material == here and len(line.materials) > 1:
            others = " or ".join(one.name for one in line.materials[1:])
            yield sentence(
                "{mark} might be cut from {others} too: nothing would be saved by it",
                mark=line.mark,
                others=others,
            )
    yield _standing(price)


def _standing(price: SubstitutesPrice) -> Told:
    if price.is_proven:
        return sentence("with no other choice among what the orders allow bars cost less: proven")
    return sentence("that with no other choice among what the orders allow bars cost less isn't proven")
