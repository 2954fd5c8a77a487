"""What a page is made from: versions, and the scenario's text to copy."""

from simtent.scenario.scenario import Scenario
from simtent.tell.page import assumed
from simtent.tell.page.frame import Part
from simtent.tell.page.markup import Markup, joined, paragraphs, tag


def parts(scenario: Scenario, *, simulated: bool = True) -> list[Part]:
    """What a page ends with where no single night is its answer: what was assumed, versions, the text to copy."""
    return [
        *([Part("assumed", "What was assumed", assumed.section(scenario))] if simulated else []),
        of_versions(),
        Part("scenario", "The scenario's text", scenario_text(scenario.given)),
    ]


def of_versions() -> Part:
    """The versions of all that is used here."""
    from simtent.simulate import versions as those  # noqa: PLC0415  (a logged night needs no engine but for this)

    return Part(
        "versions", "Versions", versions(", ".join(f"{name} {text}" for name, text in those().items()))
    )


def scenario_text(text: str) -> Markup:
    """The text in full, with a button that copies it."""
    kept = "Kept in a file, it gives this answer again with the same version of simtent."
    return joined([tag("p", kept), with_button("scenario", "Text of the scenario", text)])


def with_button(name: str, label: str, text: str) -> Markup:
    """A text as it stands, with a button that copies it; `name` is unique in its page."""
    button = tag("button", "Copy the text", type="button", aria_controls=f"{name}-text", class_="copies")
    return joined(
        [
            tag("p", button, " ", tag("output", aria_live="polite"), class_="with-script"),
            tag("pre", text, id=f"{name}-text", tabindex="0", role="region", aria_label=label),
        ]
    )


def versions(text: str, solver: str = "") -> Markup:
    """What calculated the answer."""
    return paragraphs([f"{text}.", f"Solved by {solver}." if solver else ""])
