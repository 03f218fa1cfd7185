"""What a question keeps to, of all connectors that there are."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class Only:
    """What a question keeps to: connectors by id, methods; none named is any.

    `sent` are the connectors in the order in which they were sent, which decides nothing.
    """

    connectors: tuple[str, ...] = ()
    methods: tuple[str, ...] = ()
    sent: tuple[str, ...] = field(default=(), compare=False, repr=False)

    def pointer(self, connector: str) -> str:
        """Give the pointer to a connector in what was sent."""
        return f"/only/connectors/{self.sent.index(connector)}" if connector in self.sent else "/only/connectors"

    @property
    def methods_alone(self) -> Only:
        """The methods without the connectors, which name those of one catalogue."""
        return Only(methods=self.methods)


ANY = Only()
