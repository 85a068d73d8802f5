"""Build hook: a wheel or source archive carries the script bundle, so that installing it needs no Node."""

import subprocess
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

BUNDLE = "src/pratique/web/static/pratique/built/pratique.js"


class BundleHook(BuildHookInterface):  # type: ignore[type-arg]
    """Make the bundle before packing; an editable install leaves it to make."""

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:  # noqa: ARG002
        """Build the bundle in a checkout; in an unpacked source archive it must already be there."""
        root = Path(self.root)
        script = root / "tools" / "build_bundle.sh"
        if version == "editable":
            return
        if script.exists():
            subprocess.run(["sh", str(script), "--strict"], cwd=root, check=True)
        elif not (root / BUNDLE).exists():
            raise RuntimeError(f"{BUNDLE} is missing, and this source archive cannot build it.")
