"""The shop's rules in plain words: what each means, and why a shop would set it so or so."""

from dataclasses import dataclass

from kerfsmith.shop.rules import NextAim


@dataclass(frozen=True, slots=True)
class Wording:
    """One rule by the name of its field; ``span`` fills ``{low}`` and ``{high}`` of its why [µm or cm²]."""

    field: str
    name: str
    meaning: str
    why: str
    unit: str = ""
    span: tuple[int, int] | None = None


AIM_WORDS = {
    NextAim.REMNANT_WORTH: "worth of the remnants",
    NextAim.FEW_REMNANTS: "few remnants",
    NextAim.FEW_PATTERNS: "few different bars",
    NextAim.FEW_CUTS: "few cuts",
    NextAim.FEW_LOADS: "few loads",
    NextAim.SAW_HOURS: "few saw hours",
}
PLACES = ("first", "second", "third", "fourth", "fifth", "sixth")

GROUPS: tuple[tuple[str, tuple[Wording, ...]], ...] = (
    (
        "The shop",
        (
            Wording(
                "name",
                "Name of the shop",
                "Stands at the head of every page, ticket, report and quote.",
                "Whoever holds a ticket sees whose it is.",
            ),
            Wording(
                "currency",
                "Currency",
                "The code of three letters in which bars, rates and quotes are priced.",
                "Prices are never converted: while bars on the rack have prices, their currency stays.",
            ),
        ),
    ),
    (
        "What is left of a bar",
        (
            Wording(
                "least_remnant_um",
                "Least remnant",
                "What is left of a bar goes back on the rack from this length on; shorter is scrap.",
                "Shorter keeps more metal, but fills the rack with ends that nobody finds work for "
                "(common practice: {low} to {high}).",
                span=(150_000, 500_000),
            ),
            Wording(
                "long_remnant_um",
                "Long remnant",
                "From this length on a remnant is worth something when bars are chosen; "
                "a shorter one is kept but counts for nothing.",
                "As long as what will take most pieces of the usual work.",
            ),
            Wording(
                "long_remnant_percent",
                "Worth of a long remnant",
                "How much of the price of as much new bar a long remnant counts for.",
                "More makes plans leave long remnants; nothing makes them as if remnants were scrap.",
                "%",
            ),
            Wording(
                "most_new_remnants",
                "Most new remnants",
                "How many remnants the bars of one grade and section may leave in one plan; "
                "what is left beyond them is scrap. Empty: any number.",
                "Keeps the rack small, at the cost of metal.",
                "remnants",
            ),
        ),
    ),
    (
        "Bars and plans",
        (
            Wording(
                "stock_length_um",
                "Stock length",
                "The length in which a section that isn't on the rack is bought.",
                "As your stockholder delivers it.",
            ),
            Wording(
                "buying_weight",
                "Weight of buying",
                "A bought length counts so many times as much as the same length off the rack.",
                "The more it counts, the sooner the rack is used up before anything is bought; "
                "at 1 whatever wastes least is taken.",
                "times",
            ),
            Wording(
                "next_aims",
                "What decides next",
                "Between plans whose bars cost the same, these decide in their order.",
                "Fewer different bars are set up faster and mistaken less; few remnants keep the rack small; "
                "few cuts save the band; few loads spare the crane and few saw hours the saw.",
            ),
        ),
    ),
    (
        "Bars cut at once",
        (
            Wording(
                "most_at_once",
                "Most bars at once",
                "So many equal bars may lie in the vise and be cut in one stroke, where the saw has clamps "
                "for them, the section stacks, ends are square and it saves time. 1: each bar alone.",
                "It saves strokes, but a bar may shift, and then its pieces are off. What the manual of the "
                "saw says of bundles and of clamping them goes first.",
                "at once",
            ),
            Wording(
                "bundle_tolerance_um",
                "Least tolerance for bars at once",
                "Where a length may be off by less than this either way, its section is cut bar by bar. "
                "Lengths without a tolerance may be cut in loads.",
                "Bars of a load never end quite alike (common practice: {low} to {high}).",
                span=(800, 1_500),
            ),
        ),
    ),
    (
        "Orders",
        (
            Wording(
                "keep_due_order",
                "Keep what is due first on its own bars",
                "Pieces due by a day lie on no more bars than they would need alone: "
                "later work fills their bars and never pushes them onto others.",
                "Without it metal may be saved, and what is due first is spread over bars sawn later.",
            ),
            Wording(
                "one_heat_an_order",
                "One heat for each order",
                "All pieces of an order that are of one grade and section come from one heat; "
                "a bar whose heat isn't known serves none of them.",
                "One certificate goes with the order; it may cost bars. "
                "The plan's page shows what it would cost.",
            ),
        ),
    ),
    (
        "At the saw",
        (
            Wording(
                "inspect_every",
                "Measure every",
                "After so many good pieces one is measured again; the first is measured always.",
                "Fewer find a fault sooner and take longer (common practice: 10 to 50).",
                "pieces",
            ),
            Wording(
                "break_in_cm2",
                "Breaking in a new band",
                "The area over which a new band is run in at less feed, as the week reckons it.",
                "As the maker of the band says (common practice for bimetal: {low} to {high}).",
                span=(300, 650),
            ),
        ),
    ),
)
"""In the order in which they are read."""
