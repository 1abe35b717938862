"""What one field of one step holds, as a set: live, superseded and contested entries.

An entry replaces those its `over` reaches. Settling makes the chosen entry reach the others.
Two live, unequal entries that do not reach each other are contested, and so is a cycle.
Nothing here depends on order of arrival.
"""

from .events import same_value


def _links(entries: dict, settles: list[dict]) -> dict:
    links: dict = {}
    for key in entries:
        links[key] = [other for other in entries[key]["over"] if other != key]
    replaced = set()
    for settle in settles:
        for other in settle["over"]:
            replaced.add(other)
    for settle in settles:
        chosen = settle["chosen"]
        if settle["event"] in replaced or chosen not in entries:
            continue
        for other in settle["over"]:
            if other != chosen and other in entries:
                links[chosen].append(other)
    return links


def _reach(start: str, links: dict) -> set:
    found: set = set()
    todo = list(links.get(start, ()))
    while todo:
        key = todo.pop()
        if key not in found:
            found.add(key)
            for other in links.get(key, ()):
                todo.append(other)
    return found


def weigh(kind: str, entries: dict, settles: list[dict]) -> dict:
    """Sort a field's entries: `{"live": [ids in order], "contested": bool}`.

    `entries` maps event id to `{value, over, struck, key}`; `settles` lists `{event, chosen, over}` that stand.
    Struck entries are never live, yet what they replaced through others stays replaced.
    """
    standing = [key for key in entries if not entries[key]["struck"]]
    if len(standing) < 2:
        return {"live": standing, "contested": False}
    links = _links(entries, settles)
    reach = {}
    for key in standing:
        reach[key] = _reach(key, links)
    live = []
    cycle = False
    for key in standing:
        replaced = False
        for other in standing:
            if other != key and key in reach[other]:
                if other in reach[key]:
                    cycle = True
                else:
                    replaced = True
        if not replaced:
            live.append((entries[key]["key"], key))
    live.sort()
    ids = [key for _, key in live]
    unequal = False
    for key in ids[1:]:
        if not same_value(kind, entries[ids[0]]["value"], entries[key]["value"]):
            unequal = True
    return {"live": ids, "contested": unequal or (cycle and len(ids) > 1)}
