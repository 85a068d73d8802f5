"""Print what every check value gave, beside what was expected and where that comes from."""

COLUMNS = ("id", "expected", "got", "standing", "source")


def pytest_terminal_summary(terminalreporter):
    """Print the table of check values, where passes are asked for (`-rA`) or nothing else was run."""
    reports = [one for outcome in ("passed", "failed") for one in terminalreporter.stats.get(outcome, [])]
    rows = [list(value) for one in reports for name, value in one.user_properties if name == "check_value"]
    is_asked = bool(set("APp") & set(terminalreporter.reportchars))
    is_alone = all(one.nodeid.startswith("tests/published/") for one in reports)
    if not rows or not (is_asked or is_alone):
        return
    widths = [max(len(row[column]) for row in [COLUMNS, *rows]) for column in range(len(COLUMNS) - 1)]
    terminalreporter.section("check values")
    for row in [COLUMNS, *sorted(rows)]:
        cells = [cell.ljust(width) for cell, width in zip(row, widths, strict=False)]
        terminalreporter.write_line("  ".join([*cells, row[-1]]))
