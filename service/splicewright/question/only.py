"""What a question keeps to, of all connectors that there are."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Only:
    """What a question keeps to: connectors by id, methods; none named is any."""

    connectors: tuple[str, ...] = ()
    methods: tuple[str, ...] = ()

    @property
    def methods_alone(self) -> Only:
        """The methods without the connectors, which name those of one catalogue."""
        return Only(methods=self.methods)


ANY = Only()
