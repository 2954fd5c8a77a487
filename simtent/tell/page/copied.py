"""What a page is made from: versions, and the scenario's text to copy."""

from simtent.tell.page.markup import Markup, joined, paragraphs, tag


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
