"""SVG elements as safe text.

No element ever carries a ``style`` attribute: the content policy of the pages refuses it, and classes are
what light, dark and paper are told apart by.
"""

from collections.abc import Iterable

from markupsafe import Markup, escape

Value = str | float | int | None


def number(value: float) -> str:
    """A coordinate with at most two decimals and no trailing zeros."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def element(name: str, *children: str | Markup, **attributes: Value) -> Markup:
    """One element. ``class_`` and the like lose their last underscore, other underscores become hyphens.

    Attributes that are None are left out; text children are escaped.
    """
    parts = [f"<{name}"]
    for key, value in attributes.items():
        if value is None:
            continue
        text = (
            value if isinstance(value, str) else f"{value:.6g}" if key.startswith("data_") else number(value)
        )
        parts.append(f' {_attribute(key)}="{escape(text)}"')
    parts.append(">")
    parts.extend(str(escape(child)) for child in children)
    parts.append(f"</{name}>")
    return Markup("".join(parts))  # every part above is either fixed or escaped


def _attribute(key: str) -> str:
    if key in (
        "viewBox",
        "preserveAspectRatio",
        "patternUnits",
        "patternTransform",
        "markerWidth",
        "markerHeight",
    ):
        return key
    return key.rstrip("_").replace("_", "-")


def group(children: Iterable[Markup], **attributes: Value) -> Markup:
    """Elements in one ``g``."""
    return element("g", *children, **attributes)


def picture(
    name: str,
    words: str,
    children: Iterable[Markup],
    *,
    key: str,
    class_: str,
    role: str = "img",
    **attributes: Value,
) -> Markup:
    """A whole picture with its name and a description that says in words what the lines show.

    ``key`` must be unique on the page; it ties the title and the description to the picture. One with links
    in it has the ``role`` of a group, since an image is read as a whole.
    """
    return element(
        "svg",
        element("title", name, id=f"{key}-name"),
        element("desc", words, id=f"{key}-words"),
        *children,
        role=role,
        aria_labelledby=f"{key}-name",
        aria_describedby=f"{key}-words",
        class_=class_,
        xmlns="http://www.w3.org/2000/svg",
        **attributes,
    )


def percent(share: float) -> str:
    """A share of the picture's width as SVG writes it."""
    return f"{share * 100:.3f}%"
