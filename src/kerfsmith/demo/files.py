"""The demo's files, as they would come from a customer and from a stock-take."""

from importlib import resources

ORDER_BOOK = "order_book.csv"
RACK = "rack.csv"
PROBLEM = "nesting_problem.json"
FAULTY = "faulty_list.csv"
"""A cut list with many kinds of fault in it, to see what is said of each."""


def demo_file(name: str) -> bytes:
    """The bytes of one of the demo's files."""
    return (resources.files("kerfsmith.demo") / name).read_bytes()
