"""What stands in a folder, byte for byte."""


def contents(folder):
    """Name to bytes of every file, hidden ones included."""
    return {path.name: path.read_bytes() for path in sorted(folder.iterdir())}
