"""Pure calculation: takes and returns quantities; knows no plots, widgets, files or questions."""

import copyreg
from types import MappingProxyType


def _held(parts: dict[str, object]) -> MappingProxyType[str, object]:
    return MappingProxyType(parts)


# Solutions, salts and recipes hold their parts in mappings nobody can write into; let these be copied and stored.
copyreg.pickle(MappingProxyType, lambda parts: (_held, (dict(parts),)))
