"""The API. Plans, cuts and nesting answer with the very documents that the command line writes."""

from typing import Annotated, Any

from fastapi import APIRouter, HTTPException, Query, Response
from pydantic import BaseModel, ConfigDict, Field

from kerfsmith.cutting.setting import CannotCut
from kerfsmith.errors import Finding
from kerfsmith.planning.document import cut_document, finding_document, plan_document
from kerfsmith.shop.order import Order, OrderLine
from kerfsmith.shop.rack import Bar
from kerfsmith.web.backstage import Backstage, CutQuestion, NestQuestion

Text = Annotated[str, Query(max_length=120)]


class LineOut(BaseModel):
    """A line of an order. Lengths mm, angles degrees from square."""

    id: str
    mark: str
    grade: str
    section: str
    length_mm: float
    quantity: int
    due: str | None
    angle_a_deg: float
    angle_b_deg: float
    notes: str

    @classmethod
    def of(cls, line: OrderLine) -> "LineOut":
        """The line as it is written out."""
        due = line.due.isoformat() if line.due else None
        return cls(
            id=line.id,
            mark=line.mark,
            grade=line.grade,
            section=line.section.name,
            length_mm=line.length_um / 1000,
            quantity=line.quantity,
            due=due,
            angle_a_deg=line.angle_a_deg,
            angle_b_deg=line.angle_b_deg,
            notes=line.notes,
        )


class OrderOut(BaseModel):
    """An order on the book."""

    id: str
    name: str
    lines: list[LineOut]

    @classmethod
    def of(cls, order: Order) -> "OrderOut":
        """The order as it is written out."""
        return cls(id=order.id, name=order.name, lines=[LineOut.of(line) for line in order.lines])


class BarOut(BaseModel):
    """Equal bars of the rack; ``count`` null means as many as wanted, ``price`` is for one."""

    id: str
    kind: str
    grade: str
    section: str
    length_mm: float
    count: int | None
    heat: str
    place: str
    price: str | None

    @classmethod
    def of(cls, bar: Bar) -> "BarOut":
        """The entry as it is written out."""
        price = None if bar.price is None else str(bar.price)
        return cls(
            id=bar.id,
            kind=str(bar.kind),
            grade=bar.grade,
            section=bar.section.name,
            length_mm=bar.length_um / 1000,
            count=bar.count,
            heat=bar.heat,
            place=bar.place,
            price=price,
        )


class NestBar(BaseModel):
    """Bars of one length; ``count`` null means as many as wanted, ``cost`` defaults to the length."""

    model_config = ConfigDict(extra="forbid")
    id: str = Field(max_length=80)
    length_mm: float = Field(gt=0, le=1e6, allow_inf_nan=False)
    count: int | None = Field(default=None, ge=0, le=10**7)
    cost: float | None = Field(default=None, ge=0, le=1e12, allow_inf_nan=False)


class NestPiece(BaseModel):
    """Pieces of one length."""

    model_config = ConfigDict(extra="forbid")
    id: str = Field(max_length=80)
    length_mm: float = Field(gt=0, le=1e6, allow_inf_nan=False)
    count: int = Field(ge=1, le=10**7)


class NestIn(BaseModel):
    """A bare nesting problem, as the command line reads it, with the seconds it may take."""

    model_config = ConfigDict(extra="forbid")
    kerf_mm: float = Field(ge=0, le=100, allow_inf_nan=False)
    front_trim_mm: float = Field(default=0, ge=0, le=1e6, allow_inf_nan=False)
    grip_mm: float = Field(default=0, ge=0, le=1e6, allow_inf_nan=False)
    bars: list[NestBar] = Field(min_length=1, max_length=1000)
    pieces: list[NestPiece] = Field(min_length=1, max_length=2000)
    seconds: float = Field(default=10, gt=0, le=60)


def routes(backstage: Backstage) -> APIRouter:
    """All of the API under ``/api``."""
    router = APIRouter(prefix="/api", tags=["kerfsmith"])

    @router.get("/plan")
    def plan() -> dict[str, Any]:
        """The plan made last."""
        found = backstage.plan()
        if found is None:
            raise HTTPException(404, "there is no plan")
        return plan_document(found)

    @router.get("/orders")
    def orders() -> list[OrderOut]:
        """All orders on the book."""
        return [OrderOut.of(order) for order in backstage.orders()]

    @router.get("/rack")
    def rack() -> list[BarOut]:
        """All bars and remnants."""
        return [BarOut.of(bar) for bar in backstage.rack().bars]

    @router.get("/cut")
    def cut(
        response: Response,
        grade: Text,
        section: Text,
        saw: Text = "",
        band: Text = "",
        angle_deg: Annotated[float, Query(ge=0, lt=80)] = 0.0,
        bundle: Annotated[int, Query(ge=1, le=400)] = 1,
        coolant: bool = True,
    ) -> dict[str, Any]:
        """One cut's setting with reasons and slices, or why there is none (``fits`` false)."""
        answer = backstage.cut(CutQuestion(grade, section, saw, band, angle_deg, bundle, coolant))
        if answer.setting is not None:
            return {**cut_document(answer.setting), "findings": _documents(answer.findings)}
        if answer.cannot is None:
            response.status_code = 422
        return {"fits": False, "reasons": _refusals(answer.cannot), "findings": _documents(answer.findings)}

    @router.post("/nest")
    def nest(problem: NestIn, response: Response) -> dict[str, Any]:
        """A bare nesting problem; 422 with findings where the problem itself is at fault."""
        stated = problem.model_dump(exclude={"seconds"}, exclude_none=True)
        for stated_bar, bar in zip(stated["bars"], problem.bars, strict=True):
            stated_bar["count"] = bar.count
        code, document = backstage.nest(NestQuestion(stated, problem.seconds))
        if code == 2:
            response.status_code = 422
        return dict(document)

    return router


def _documents(findings: tuple[Finding, ...]) -> list[dict[str, Any]]:
    return [finding_document(finding) for finding in findings]


def _refusals(cannot: CannotCut | None) -> list[dict[str, Any]]:
    if cannot is None:
        return []
    return [
        {
            "saw": saw,
            "dimension": misfit.dimension,
            "wanted": misfit.wanted,
            "limit": misfit.limit,
            "unit": misfit.unit,
            "text": misfit.text,
            "remedy": misfit.remedy,
        }
        for saw, misfits in cannot.misfits
        for misfit in misfits
    ]
