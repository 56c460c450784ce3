"""A workbook in LibreOffice, through its scripting interface: cells changed and read, all formulas worked
out anew. LibreOffice shows the values that a file brings along until it is told to calculate."""
import contextlib
import os
import subprocess
import sys
import time

try:
    import uno
except ImportError:  # another Python stands before the system's
    if sys.executable == "/usr/bin/python3":
        raise
    os.execv("/usr/bin/python3", ["/usr/bin/python3"] + sys.argv)
from com.sun.star.beans import PropertyValue


@contextlib.contextmanager
def office(folder):
    """LibreOffice without a window, with a profile of its own in `folder`; yields its desktop."""
    pipe = f"gudgeon-{os.getpid()}"
    server = subprocess.Popen(
        ["soffice", f"-env:UserInstallation=file://{folder}/office", "--headless", "--norestore",
         "--nologo", f"--accept=pipe,name={pipe};urp;"], stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL)
    try:
        local = uno.getComponentContext()
        resolver = local.ServiceManager.createInstanceWithContext(
            "com.sun.star.bridge.UnoUrlResolver", local)
        for attempt in range(240):
            try:
                there = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
                break
            except Exception:  # it has no better name: not yet there
                if server.poll() is not None and attempt > 20:
                    raise
                time.sleep(0.25)
        else:
            raise RuntimeError("LibreOffice did not answer within a minute")
        desktop = there.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", there)
        yield desktop
        with contextlib.suppress(Exception):
            desktop.terminate()
    finally:
        server.kill()
        server.wait()


def value(name, what):
    return PropertyValue(Name=name, Value=what)


@contextlib.contextmanager
def opened(desktop, path):
    book = desktop.loadComponentFromURL(f"file://{os.path.abspath(path)}", "_blank", 0,
                                        (value("Hidden", True),))
    try:
        yield book
    finally:
        with contextlib.suppress(Exception):  # what is closed is closed when the server goes
            book.close(True)


def rows(sheet):
    """All cells in use: text, numbers, and None for nothing; errors as their code."""
    cursor = sheet.createCursor()
    cursor.gotoEndOfUsedArea(False)
    last = cursor.RangeAddress
    return [list(row) for row in
            sheet.getCellRangeByPosition(0, 0, last.EndColumn, last.EndRow).getDataArray()]


def errors(sheet):
    """Cells whose formula gives an error, as (row, column, code)."""
    from com.sun.star.sheet.FormulaResult import ERROR
    for area in sheet.queryFormulaCells(ERROR).getRangeAddresses():
        for row in range(area.StartRow, area.EndRow + 1):
            for column in range(area.StartColumn, area.EndColumn + 1):
                yield row, column, sheet.getCellByPosition(column, row).getError()
