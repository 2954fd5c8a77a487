"""What a page is made from: versions, and the scenario's text to copy."""

from simtent.scenario.scenario import Scenario
from simtent.tell.page import assumed
from simtent.tell.page.frame import Part
from simtent.tell.page.markup import Markup, joined, paragraphs, tag


def parts(scenario: Scenario, *, simulated: bool = True) -> list[Part]:
    """What a page ends with where no single night is its answer: what was assumed, versions, the text to copy."""
    from simtent.simulate import versions as those  # noqa: PLC0415  (a logged night needs no engine but for this)

    made = ", ".join(f"{name} {text}" for name, text in those().items())
    return [
        *([Part("assumed", "What was assumed", assumed.section(scenario))] if simulated else []),
        Part("versions", "Versions", versions(made)),
        Part("scenario", "The scenario's text", scenario_text(scenario.given)),
    ]


def scenario_text(text: str) -> Markup:
    """The text in full, with a button that copies it."""
    return joined(
        [
            tag("p", "Kept in a file, it gives this answer again with the same version of simtent."),
            tag("p", tag("button", "Copy the text", type="button", id="copy", aria_controls="scenario-text"), " ",
                tag("output", id="copied", aria_live="polite"), class_="with-script"),
            tag("pre", text, id="scenario-text", tabindex="0", role="region", aria_label="Text of the scenario"),
        ]
    )  # fmt: skip


def versions(text: str, solver: str = "") -> Markup:
    """What calculated the answer."""
    return paragraphs([f"{text}.", f"Solved by {solver}." if solver else ""])
