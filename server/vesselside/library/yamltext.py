"""A procedure, or a part of one, as YAML that the loader reads back as the same data."""

from typing import Any

import yaml

_WIDTH = 100


class _Dumper(yaml.SafeDumper):
    """Figures stand without quotes: the loader takes all but `true`, `false` and `null` as text."""

    yaml_implicit_resolvers: dict[str, Any] = {}  # noqa: RUF012  # PyYAML's own way to say what plain text means

    def ignore_aliases(self, data: Any) -> bool:
        return True


def _text(dumper: yaml.SafeDumper, data: str) -> yaml.ScalarNode:
    plain = data not in ("", "~", "null", "true", "false")
    long = len(data) > _WIDTH - 20
    return dumper.represent_scalar(
        "tag:yaml.org,2002:str", data, style=(">" if long else None) if plain else "'"
    )


def _list(dumper: yaml.SafeDumper, data: list[Any]) -> yaml.SequenceNode:
    """Short lists of words stand on one line, as people write them."""
    flat = all(item is None or isinstance(item, str) for item in data)
    return dumper.represent_sequence("tag:yaml.org,2002:seq", data, flow_style=flat)


def _plain(word: str) -> Any:
    return lambda dumper, _data: dumper.represent_scalar("tag:yaml.org,2002:str", word)


_Dumper.add_representer(str, _text)
_Dumper.add_representer(list, _list)
_Dumper.add_representer(type(None), _plain("null"))
_Dumper.add_representer(
    bool, lambda dumper, data: dumper.represent_scalar("tag:yaml.org,2002:str", "true" if data else "false")
)
_Dumper.add_representer(int, lambda dumper, data: dumper.represent_scalar("tag:yaml.org,2002:str", str(data)))


def written(data: Any) -> str:
    """`data` as block YAML, keys in their own order."""
    return yaml.dump(
        data, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=_WIDTH, default_flow_style=False
    )


def flowed(data: Any) -> str:
    """`data` on one line, as it may stand in a YAML file."""
    return yaml.dump(
        data, Dumper=_Dumper, sort_keys=False, allow_unicode=True, width=10_000, default_flow_style=True
    ).strip()
