"""The demo's files, as they would come from a customer and from a stock-take."""

from importlib import resources

ORDER_BOOK = "order_book.csv"
RACK = "rack.csv"
PROBLEM = "nesting_problem.json"
LAST_WEEK = "last_week.csv"
LAST_WEEK_RACK = "last_week_rack.csv"
"""What was cut the week before, and from which bars."""
FAULTY = "faulty_list.csv"
"""A cut list with many kinds of fault in it, to see what is said of each."""


def demo_file(name: str) -> bytes:
    """The bytes of one of the demo's files."""
    return (resources.files("kerfsmith.demo") / name).read_bytes()
