"""A real printer on this machine alone: CUPS with a queue, and `ippeveprinter`, which keeps what it gets.

All of it runs in a folder of its own, beside whatever print service the machine has.
"""

from __future__ import annotations

import os
import shutil
import socket
import subprocess
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path
from typing import NamedTuple, TypeVar

from filelock import FileLock

QUEUE = "bench"

WAIT_S = 30.0

PATH = os.pathsep.join([os.environ.get("PATH", os.defpath), "/usr/sbin", "/sbin"])

PROGRAMS = {
    "lp": "cups-client", "lpadmin": "cups-client", "cupsd": "cups-daemon", "ippeveprinter": "cups-ipp-utils",
    "avahi-daemon": "avahi-daemon", "dbus-daemon": "dbus",
}  # fmt: skip
"""Programs that take part, and Debian's packages that bring them."""

AVAHI_RUNS = Path("/run/avahi-daemon/pid")

FILTER = Path("/usr/lib/cups/filter/pdftopdf")

BUS = """<busconfig><type>system</type><listen>unix:path={folder}/bus</listen><auth>EXTERNAL</auth>
<policy context="default"><allow user="*"/><allow own="*"/><allow send_type="method_call"/>
<allow send_type="signal"/><allow send_requested_reply="true"/><allow receive_requested_reply="true"/>
<allow receive_type="method_call"/><allow receive_type="signal"/></policy></busconfig>
"""

AVAHI = "[server]\nuse-ipv4=yes\nuse-ipv6=no\nallow-interfaces=lo\n"

FILES = """ServerRoot {folder}
StateDir {folder}/state
CacheDir {folder}/cache
RequestRoot {folder}/spool
TempDir {folder}/spool
AccessLog {folder}/log/access
ErrorLog {folder}/log/error
PageLog {folder}/log/page
User lp
Group lp
SystemGroup root
"""

SERVICE = """LogLevel debug
Listen {folder}/cups.sock
WebInterface No
Browsing No
<Policy default>
<Limit All>
Order deny,allow
</Limit>
</Policy>
"""


Found = TypeVar("Found")


class Printer(NamedTuple):
    """A printer with its queue: what it was sent, and what it was told about that."""

    folder: Path

    def environment(self) -> dict[str, str]:
        """What leads programs to this print service."""
        return {"CUPS_SERVER": f"{self.folder}/cups.sock", "PATH": PATH}

    def received(self, name: str) -> bytes:
        """The document of the job of a name, as it came out."""
        return wait_for(lambda: self._finished(name))

    def _finished(self, name: str) -> bytes:
        """What has come of a job, once it is whole."""
        for path in (self.folder / "printed").glob(f"*-{name}.pdf"):
            content = path.read_bytes()
            if content.rstrip().endswith(b"%%EOF"):
                return content
        return b""

    def told(self) -> str:
        """Everything the printer was asked."""
        return (self.folder / "log" / "printer").read_text("utf-8", "replace")


def missing() -> str:
    """Say what keeps these tests from a printer; "" for nothing."""
    packages = sorted({package for name, package in PROGRAMS.items() if shutil.which(name, path=PATH) is None})
    if not FILTER.exists():
        packages.append("cups-filters")
    if packages:
        return f"{', '.join(packages)} not installed"
    return "" if os.geteuid() == 0 else "only root may start a print service of its own"


def wait_for(look: Callable[[], Found]) -> Found:
    """Look until something is there. Raises TimeoutError."""
    end = time.monotonic() + WAIT_S
    while time.monotonic() < end:
        if found := look():
            return found
        time.sleep(0.05)
    raise TimeoutError(f"{look} has found nothing for {WAIT_S:g} s")


@contextmanager
def real_printer() -> Iterator[Printer]:
    """Run a print service with one queue, and its printer."""
    with ExitStack() as running:
        running.enter_context(FileLock(f"{tempfile.gettempdir()}/turnband-print.lock"))  # one at a time
        folder = Path(running.enter_context(tempfile.TemporaryDirectory(prefix="turnband-print-")))
        folder.chmod(0o755)  # the service's filters belong to another user
        for name in ("state", "cache", "spool", "log", "printed"):
            (folder / name).mkdir()
            shutil.chown(folder / name, "lp", "lp")
        for name, text in (("bus.conf", BUS), ("avahi.conf", AVAHI), ("files.conf", FILES), ("cupsd.conf", SERVICE)):
            (folder / name).write_text(text.format(folder=folder), "utf-8")
        port = _free_port()
        bus = {"DBUS_SYSTEM_BUS_ADDRESS": f"unix:path={folder}/bus"}

        def start(name: str, *arguments: str, **environment: str) -> None:
            running.enter_context(_process(folder, name, arguments, os.environ | {"PATH": PATH} | environment))

        start("dbus-daemon", f"--config-file={folder}/bus.conf", "--nofork", "--nopidfile")
        wait_for((folder / "bus").exists)
        if AVAHI_RUNS.exists():  # only one may run
            bus = {}
        else:
            start("avahi-daemon", "-f", f"{folder}/avahi.conf", "--no-drop-root", "--no-chroot", "--no-rlimits", **bus)
            wait_for(AVAHI_RUNS.exists)
        start("cupsd", "-f", "-c", f"{folder}/cupsd.conf", "-s", f"{folder}/files.conf", **bus)
        start(
            "ippeveprinter", "-p", str(port), "-n", "localhost", "-d", f"{folder}/printed", "-k", "-r", "off", "-vvv",
            "-f", "application/pdf", "-c", "/bin/true", QUEUE, **bus,
        )  # fmt: skip  # with a command it does not play at taking its time over every page
        printer = Printer(folder)
        add = ["lpadmin", "-p", QUEUE, "-E", "-m", "everywhere", "-v", f"ipp://localhost:{port}/ipp/print"]
        environment = os.environ | printer.environment()
        wait_for(lambda: subprocess.run(add, env=environment, capture_output=True, check=False).returncode == 0)
        yield printer


@contextmanager
def _process(folder: Path, name: str, arguments: tuple[str, ...], environment: dict[str, str]) -> Iterator[None]:
    with open(folder / "log" / ("printer" if name == "ippeveprinter" else name), "wb") as log:
        process = subprocess.Popen([name, *arguments], stdout=log, stderr=subprocess.STDOUT, env=environment)
    try:
        yield
    finally:
        process.terminate()
        process.wait(10)


def _free_port() -> int:
    with socket.socket() as tried:
        tried.bind(("127.0.0.1", 0))
        return int(tried.getsockname()[1])
