"""One self-contained HTML file of a verb's answer: read on a phone, printed on paper, without a network."""
