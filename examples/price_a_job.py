"""A quote from a cut list, each piece with the range that the cut's uncertainty gives it."""

from datetime import date
from pathlib import Path

from kerfsmith.costing.quote import QuoteTerms
from kerfsmith.costing.rates import Rates
from kerfsmith.units.show import show_money
from kerfsmith.wiring.demo_files import write_demo
from kerfsmith.wiring.quoting import quote_files

write_demo(Path("try-it"))
terms = QuoteTerms("Q-1", "Gate works", date(2026, 12, 1), date(2026, 12, 31))
quote = quote_files("try-it/order_book.csv", Path("try-it/rack.csv"), terms, Rates()).quote
assert quote is not None
for line in quote.lines[:4]:
    low, high = (show_money(end) for end in (line.price.each_span.low, line.price.each_span.high))
    span = f"between {low} and {high}"
    print(f"{line.line.mark}: {line.price.count} at {show_money(line.price.each)}, {span}")
print(f"{len(quote.lines)} lines, {show_money(quote.total)} in all")
