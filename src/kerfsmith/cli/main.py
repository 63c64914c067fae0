"""The commands. Heavy parts are imported inside each, so that a short command starts fast."""

import os
import sys
from pathlib import Path
from typing import Annotated

from cyclopts import App, CycloptsError, Parameter

from kerfsmith.cli.options import (
    BareUnit,
    Json,
    Orders,
    Paper,
    Rack,
    Rates,
    Records,
    Seconds,
    Seed,
    Shop,
    Shown,
    port_number,
    seconds_of_search,
)
from kerfsmith.cli.records import app as records_app
from kerfsmith.cli.sections import app as sections_app
from kerfsmith.cli.tables import app as tables_app
from kerfsmith.errors import KerfsmithError

DONE, CANNOT, INPUT_AT_FAULT = 0, 1, 2
"""Exit codes: done; the work can't be done, with the reason; the input is at fault, with findings."""
STOPPED = 130
"""Exit code after the user's own stop, as a shell has it; what was found by then is printed."""

app = App(
    name="kerfsmith",
    help="Plans a saw room's work: which saw, band, feed and bars, how long, and what to print.",
    version_flags=["--version"],
)
app.command(records_app)
app.command(sections_app)
app.command(tables_app)


@app.command
def serve(
    *,
    records: Records = "var/shop.sqlite",
    host: Annotated[str, Parameter(help="Address to listen on; this machine only by default.")] = "127.0.0.1",
    port: Annotated[int, Parameter(help="Port to listen on.", validator=port_number)] = 8765,
    name: Annotated[
        list[str] | None, Parameter(help="A name others call this machine by, beside its own.", negative=())
    ] = None,
) -> int:
    """Start the application; the first start opens a demo shop with a finished plan."""
    from kerfsmith.cli.serving import serve as start

    return start(records, host, port, tuple(name or ()))


@app.command
def learned(
    *,
    records: Records = "var/shop.sqlite",
    decide: Annotated[str, Parameter(help="Accept, freeze or forget a factor.")] = "",
    measure: Annotated[str, Parameter(help="Of the factor: cut time, index time or band life.")] = "cut time",
    grade: Annotated[str, Parameter(help="Of the factor; left out, of any.")] = "",
    saw: Annotated[str, Parameter(help="Of the factor; left out, of any.")] = "",
    section_kind: Annotated[str, Parameter(help="Of the factor; left out, of any.")] = "",
    band: Annotated[str, Parameter(help="Of the factor; left out, of any.")] = "",
    json: Annotated[bool, Parameter(help="Print JSON for other programs.")] = False,
) -> int:
    """What the shop's cut log teaches of times and bands, and which of it plans use."""
    from kerfsmith.cli.learning import LearnedWish, run_learned
    from kerfsmith.shop.factors import Scope

    return run_learned(LearnedWish(records, decide, measure, Scope(grade, saw, section_kind, band), json))


@app.command
def plan(
    orders: Orders,
    *,
    rack: Rack = None,
    grade: Annotated[
        list[str] | None, Parameter(help='What a grade of your own is: "MS=S235JR".', negative=())
    ] = None,
    section: Annotated[
        list[str] | None, Parameter(help='A section of your own, drawn: "ZS175*1.5=zs175.dxf".', negative=())
    ] = None,
    unit: BareUnit = None,
    stock: Annotated[
        str | None, Parameter(help="Length in which bars are bought; else the shop's, 6 m without one.")
    ] = None,
    at_once: Annotated[
        int | None,
        Parameter(help="Most equal bars cut at once, where the saw clamps them; else the shop's, or 1."),
    ] = None,
    column: Annotated[
        list[str] | None, Parameter(help='What a column is: "length=Cut len".', negative=())
    ] = None,
    date_order: Annotated[str | None, Parameter(help="3/4/2026: day-first or month-first.")] = None,
    decimal: Annotated[str | None, Parameter(help="Decimal mark of the files, . or , where unclear.")] = None,
    price_per: Annotated[
        str | None, Parameter(help="What rack prices are for: bar, kg, t, lb, m, ft.")
    ] = None,
    seconds: Seconds = 10.0,
    seed: Seed = 1,
    tickets: Annotated[Path | None, Parameter(help="Write the saw tickets to this PDF.")] = None,
    labels: Annotated[Path | None, Parameter(help="Write the labels to this PDF.")] = None,
    table: Annotated[
        list[str] | None,
        Parameter(help='Write a table: "plan-pieces=bars.xlsx"; plan, cut-list, costs too.', negative=()),
    ] = None,
    paper: Paper = "a4",
    measure: Shown = "metric",
    shop: Shop = "",
    json: Json = False,
) -> int:
    """Plan a cut list: saws, settings, bars and hours."""
    from kerfsmith.cli.planning import PlanWish, run_plan

    wish = PlanWish(
        orders=orders,
        rack=rack,
        grades=tuple(grade or ()),
        sections=tuple(section or ()),
        unit=unit,
        stock=stock,
        at_once=at_once,
        columns=tuple(column or ()),
        date_order=date_order,
        decimal=decimal,
        price_per=price_per,
        seconds=seconds,
        seed=seed,
        tickets=tickets,
        labels=labels,
        tables=tuple(table or ()),
        paper=paper,
        measure=measure,
        json=json,
        shop=shop,
    )
    return run_plan(wish)


@app.command
def week(
    orders: Orders,
    *,
    rack: Rack = None,
    start: Annotated[str, Parameter(help="From when on, as in 2026-12-01T06:00; else from now.")] = "",
    unit: BareUnit = None,
    seconds: Seconds = 5.0,
    seed: Seed = 1,
    shop: Shop = "",
    json: Json = False,
) -> int:
    """Line a cut list up: which saw cuts what when, what comes late and why, in the shop's hours."""
    from kerfsmith.cli.weeks import WeekWish, run_week

    return run_week(WeekWish(orders, rack, start, unit, seconds, seed, json, shop))


@app.command
def cut(
    *,
    grade: Annotated[str, Parameter(help="Grade by any of its names: 4140, 1.7225, S355J2.")],
    section: Annotated[
        str, Parameter(help='Section as on a cut list, "round 4 in", W12x26; or a drawing, FILE.dxf.')
    ],
    saw: Annotated[str | None, Parameter(help="Saw by id or name; else the quickest that fits.")] = None,
    band: Annotated[str | None, Parameter(help="Band by id; without it, the quickest that fits.")] = None,
    angle: Annotated[float, Parameter(help="Head angle from square, degrees.")] = 0.0,
    bundle: Annotated[int, Parameter(help="Pieces cut at once.")] = 1,
    dry: Annotated[bool, Parameter(help="Cut without coolant.", negative=())] = False,
    hb: Annotated[float | None, Parameter(help="Hardness as measured, Brinell.")] = None,
    band_state: Annotated[
        str, Parameter(help='State of the band: "new, being run in", sound or worn; else sound.')
    ] = "",
    choose: Annotated[
        str, Parameter(help="quickest, cheapest or safest, or a place on the front; else by the book.")
    ] = "",
    unit: Annotated[str | None, Parameter(help="Unit of bare numbers: mm or in.")] = None,
    measure: Shown = "metric",
    shop: Shop = "",
    json: Json = False,
) -> int:
    """One cut: does it fit, which band, speed and feed, how long, and why."""
    from kerfsmith.cli.cutting import CutWish, run_cut

    wish = CutWish(
        grade, section, saw, band, angle, bundle, not dry, unit, measure, json, choose, hb, band_state, shop
    )
    return run_cut(wish)


@app.command
def quote(
    orders: Orders,
    *,
    customer: Annotated[str, Parameter(help="Who the quote is for.")],
    rack: Rack = None,
    number: Annotated[str, Parameter(help="Number of the quote; else made from the day.")] = "",
    reference: Annotated[str, Parameter(help="The customer's own reference.")] = "",
    revision: Annotated[int, Parameter(help="Revision of the quote, from 1.")] = 1,
    days: Annotated[int, Parameter(help="Days for which the quote is valid.")] = 30,
    firm: Annotated[bool, Parameter(help="Firm prices, without their range.", negative=())] = False,
    rates: Rates = None,
    margin: Annotated[str | None, Parameter(help="Margin in percent of the price.")] = None,
    breaks: Annotated[str, Parameter(help='Quantities to price beside: "10,25,50".')] = "",
    quote: Annotated[Path | None, Parameter(help="Write the customer's quote to this PDF.")] = None,
    reckoning: Annotated[Path | None, Parameter(help="Write the shop's own reckoning to this PDF.")] = None,
    paper: Paper = "a4",
    measure: Shown = "metric",
    unit: BareUnit = None,
    seconds: Seconds = 5.0,
    seed: Seed = 1,
    shop: Shop = "",
    json: Json = False,
) -> int:
    """Price a cut list: each piece with its range, break points, and the quote as PDF."""
    from kerfsmith.cli.quoting import QuoteWish, run_quote

    wish = QuoteWish(
        orders=orders,
        rack=rack,
        customer=customer,
        number=number,
        reference=reference,
        revision=revision,
        days=days,
        firm=firm,
        rates=rates,
        margin=margin,
        breaks=breaks,
        quote=quote,
        reckoning=reckoning,
        paper=paper,
        measure=measure,
        unit=unit,
        seconds=seconds,
        seed=seed,
        json=json,
        shop=shop,
    )
    return run_quote(wish)


@app.command
def which_saw(
    orders: Orders,
    *,
    saw: Annotated[list[str], Parameter(help="A saw by id or name; say it for each saw.", negative=())],
    yearly: Annotated[str, Parameter(help="How often a year the cut list comes.")] = "1",
    rack: Annotated[Path | None, Parameter(help="Bars for their lengths and prices.")] = None,
    price: Annotated[
        list[str] | None, Parameter(help='What a saw costs, for pay-back: "yard=180000".', negative=())
    ] = None,
    against: Annotated[str, Parameter(help="The saw there is; else the first named.")] = "",
    customer: Annotated[str, Parameter(help="Who the report is for.")] = "",
    rates: Rates = None,
    report: Annotated[Path | None, Parameter(help="Write the report to this PDF.")] = None,
    paper: Paper = "a4",
    measure: Shown = "metric",
    unit: BareUnit = None,
    seconds: Seconds = 2.0,
    seed: Seed = 1,
    shop: Shop = "",
    json: Json = False,
) -> int:
    """The same work on two or more saws: what each can cut, hours, limits, bands, cost, pay-back."""
    from kerfsmith.cli.comparing import WhichWish, run_which_saw

    wish = WhichWish(
        orders=orders,
        saws=tuple(saw),
        yearly=yearly,
        rack=rack,
        prices=tuple(price or ()),
        against=against,
        customer=customer,
        rates=rates,
        report=report,
        paper=paper,
        measure=measure,
        unit=unit,
        seconds=seconds,
        seed=seed,
        json=json,
        shop=shop,
    )
    return run_which_saw(wish)


@app.command
def nest(
    problem: Annotated[
        str, Parameter(help="Nesting problem as JSON; - reads standard input.", allow_leading_hyphen=True)
    ],
    *,
    seconds: Annotated[float, Parameter(help="Most seconds to spend.", validator=seconds_of_search)] = 60.0,
    seed: Seed = 1,
    json: Json = False,
) -> int:
    """A bare nesting problem: fewest or cheapest bars, with a proven bound."""
    from kerfsmith.cli.nesting import run_nest

    return run_nest(problem, seconds, seed, json)


@app.command
def export(
    table: Annotated[
        str,
        Parameter(help="plan, plan-pieces, cut-list, rack, cut-log, costs, subgroups or own-sections."),
    ],
    to: Annotated[Path | None, Parameter(help="File to write; without it, standard output.")] = None,
    *,
    form: Annotated[
        str | None, Parameter(name="--as", help="csv, xlsx or json; else by the file's ending, else csv.")
    ] = None,
    records: Records = "var/shop.sqlite",
    schema: Annotated[
        bool, Parameter(help="Print the JSON Schema of the table instead.", negative=())
    ] = False,
) -> int:
    """Write a table of the shop for a spreadsheet or another program."""
    from kerfsmith.cli.exporting import run_export

    return run_export(table, to, records, form, schema)


@app.command
def demo(
    folder: Annotated[Path, Parameter(help="Where to put the demo's order book and rack.")],
) -> int:
    """Write the demo's own order book (CSV and XLSX), its rack, and a list with faults to try."""
    from kerfsmith.wiring.demo_files import write_demo

    for path in write_demo(folder):
        print(path)
    return DONE


@app.command
def manual(folder: Annotated[Path, Parameter(help="Folder to write the site into.")]) -> int:
    """Write the manual as a site of plain files; inside the application it is under Manual."""
    from kerfsmith.manual.site import write_site

    written = write_site(folder)
    print(f"{len(written)} files; begin with {written[0].with_name('index.html')}")
    return DONE


def run() -> None:
    """Entry of the installed command."""
    try:
        code = app(result_action="return_value", exit_on_error=False)
    except CycloptsError:
        code = INPUT_AT_FAULT
    except KerfsmithError as error:
        print(f"kerfsmith: {error}", file=sys.stderr)
        code = INPUT_AT_FAULT
    except BrokenPipeError:
        # Whoever read the output has had enough of it.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        code = DONE
    except OSError as error:
        print(
            f"kerfsmith: {error.filename}: {error.strerror}; name a place that can be used", file=sys.stderr
        )
        code = INPUT_AT_FAULT
    except KeyboardInterrupt:
        code = STOPPED
    sys.exit(code if isinstance(code, int) else DONE)
