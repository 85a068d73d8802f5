"""The entry that keeps a protocol of the keeper's own, as the text of its file."""

from collections.abc import Iterator
from typing import Annotated, ClassVar

from pydantic import Field

from pratique.ledger.kinds.payload import Link, Name, Payload, Text

# The key is the one that heads the file: such keys are joined by underscores, or by hyphens.
ProtocolKey = Annotated[str, Field(max_length=80, pattern=r"^[a-z0-9]+([-_][a-z0-9]+)*$")]
ProtocolText = Annotated[str, Field(min_length=1, max_length=100_000)]


class Protocol(Payload):
    """A protocol of the keeper's own. A later entry with the same key holds the text that counts from then on."""

    kind: ClassVar[str] = "protocol"

    key: ProtocolKey
    name: Name
    text: ProtocolText
    words: Text = ""

    def links(self) -> Iterator[Link]:
        """Speak of the protocol."""
        yield Link(f"protocol/{self.key}", "set-up")
