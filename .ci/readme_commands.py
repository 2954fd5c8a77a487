"""Print the shell commands of README.md's first two code blocks: argument 1, the night; argument 2, the tests."""

import re
import sys
from pathlib import Path

text = (Path(__file__).parents[1] / "README.md").read_text(encoding="utf-8")
blocks = re.findall(r"```sh\n(.*?)```", text, flags=re.DOTALL)
print(blocks[int(sys.argv[1]) - 1], end="")
