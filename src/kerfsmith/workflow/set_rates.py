"""Setting the shop's rates and its currency."""

from datetime import datetime

from kerfsmith.costing.rates import Rates
from kerfsmith.shop.person import Person
from kerfsmith.units.told import sentence
from kerfsmith.workflow.acting import act
from kerfsmith.workflow.permissions import Verb
from kerfsmith.workflow.ports import Change, Records
from kerfsmith.workflow.refusal import Refusal, Refused


def set_rates(records: Records, rates: Rates, *, by: Person, at: datetime) -> Rates | Refusal:
    """Keep the rates that everything is priced at from now on; their currency becomes the shop's.

    Quotes that were made stay as they are. Another currency is refused while bars on the rack have prices:
    nobody has said at what rate those turn into the new one.
    """

    def body(change: Change) -> Rates:
        keep_currency(change, rates.currency)
        change.prices.set_rates(rates)
        return rates

    return act(records, Verb.SET_RATES, body, answer_as=Rates, told=rates, subject="shop", by=by, at=at)


def keep_currency(change: Change, currency: str) -> None:
    """Refuse another currency than the shop's while bars on the rack have prices. Raises Refused."""
    if currency != change.rules().currency and change.priced_bars():
        raise Refused(
            "prices-in-old-currency",
            sentence("bars on the rack have prices in {currency}", currency=change.rules().currency),
            sentence(
                "Read the rack list again with prices in {currency} after taking them off", currency=currency
            ),
        )
