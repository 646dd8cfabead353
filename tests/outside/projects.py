"""What the writers of random projects share: parts of a shop file, the text of a holder file, the command line."""

import sys
from pathlib import Path

# The saw's and the drills' part of a shop file in mm.
SAW_AND_BITS = """[saw]
kerf = "3 mm"
[bits]
drill = ["2 mm", "2.5 mm", "3 mm", "4 mm", "4.5 mm", "5 mm", "6 mm", "8 mm", "10 mm", "12 mm"]
forstner = ["15 mm", "20 mm", "25 mm", "30 mm", "35 mm"]
"""


def weighed(measures):
    """The measures with a mass for each tool that they tell one by one, or one for all."""
    many = next((len(value) for value in measures.values() if isinstance(value, list)), 0)
    return measures | {"tool_mass": ['"0.4 kg"'] * many or '"0.4 kg"'}


def holder_text(style, measures, choices):
    return f'style = "{style}"\nunits = "mm"\n[measures]\n{table(measures)}[choices]\n{table(choices)}'


def table(entries):
    written = lambda value: f"[{', '.join(value)}]" if isinstance(value, list) else value
    return "".join(f"{name} = {written(value)}\n" for name, value in entries.items())


def write_all(write):
    """As many projects as the command line says, each by `write`, into the folder that it names."""
    for project in range(int(sys.argv[1])):
        write(Path(sys.argv[2]), project)
