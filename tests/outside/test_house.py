"""The house as DEVELOPERS.md draws it: imports go one way, files in no circles, one meaning a type name.

Reads the sources as text: `use` lines and paths that begin with `crate::`. A name that a folder hands on is followed
to the file that it stands in. Tests in the sources are left out.
"""

import re
from collections import defaultdict
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
SRC = ROOT / "src"


LITERAL = re.compile(
    r"""//[^\n]*|r#"(?:[^"]|"(?!\#))*"\#|"(?:[^"\\]|\\.)*"|'(?:\\[^u]|\\u\{[0-9a-f]+\}|[^\\'])'""", re.S
)


def strip(text):
    """The code alone: no comments, strings or tests."""
    text = LITERAL.sub(lambda found: " " if found[0].startswith("//") else '""', text)
    return re.sub(r"#\[cfg\(test\)\]\s*(?:#\[path[^\n]*\n\s*)?(?:pub[^\n]*?use[^;]*;|mod \w+;|mod \w+ \{.*)", "", text, flags=re.S)


FILES = {path.relative_to(SRC): strip(path.read_text()) for path in sorted(SRC.rglob("*.rs"))}


def module_of(path):
    """The module path of a file: ("holder", "part"); () for the crate."""
    parts = path.with_suffix("").parts
    return parts[:-1] if parts[-1] in ("mod", "lib", "main") else parts


MODULES = {module_of(path): path for path in FILES if path.name != "main.rs"}


def trees(text):
    """All paths that a file's `use` items and inline paths name, with whether they are handed on."""
    for handed, tree in re.findall(r"\b(pub(?:\([a-z: ]+\))? )?use ([^;]+);", text):
        yield from ((bool(handed), leaf) for leaf in leaves(re.sub(r"\s+", " ", tree)))
    for path in re.findall(r"\b(?:crate|super|self)(?:::\w+)+", re.sub(r"\buse [^;]+;", "", text)):
        yield False, path.split("::")


def leaves(tree, before=()):
    """`a::{b, c::d as e}` as ["a", "b"] and ["a", "c", "d"]."""
    tree = tree.strip()
    if "{" not in tree:
        yield [*before, *re.sub(r" as \w+$", "", tree).split("::")]
        return
    head, inner = tree.split("{", 1)
    inner = inner[: inner.rindex("}")]
    head = [part for part in head.strip().split("::") if part]
    depth, start = 0, 0
    for i, c in enumerate(inner + ","):
        depth += (c == "{") - (c == "}")
        if c == "," and depth == 0:
            if inner[start:i].strip():
                yield from leaves(inner[start:i], (*before, *head))
            start = i + 1


def absolute(module, path):
    """A path as seen from the crate; None for one of another crate."""
    if path[0] == "crate":
        return tuple(path[1:])
    if path[0] in ("super", "self"):
        base = list(module)
        while path and path[0] in ("super", "self"):
            base = base[:-1] if path[0] == "super" else base
            path = path[1:]
        return (*base, *path)
    return (*module, *path) if (*module, path[0]) in MODULES else None


def handed_on():
    """What each module hands on under which name: (module, name) to the path it stands at."""
    found = {}
    for path, text in FILES.items():
        module = module_of(path)
        for handed, leaf in trees(text):
            target = absolute(module, leaf) if handed else None
            if target and target[-1] == "self":
                target = target[:-1]
            if target:
                found[(module, target[-1])] = target
    return found


HANDED_ON = handed_on()


def file_of(target):
    """The file that a name stands in."""
    for _ in range(8):
        at = max((m for m in MODULES if target[: len(m)] == m), key=len)
        rest = target[len(at) :]
        if not rest or (at, rest[0]) not in HANDED_ON:
            return MODULES[at]
        target = (*HANDED_ON[(at, rest[0])], *rest[1:])
    return MODULES[at]


def imports():
    """The files each file takes something from."""
    arrows = defaultdict(set)
    for path, text in FILES.items():
        module = module_of(path)
        for handed, leaf in trees(text):
            target = absolute(module, [part for part in leaf if part not in ("*", "self")] if leaf[0] != "self" else leaf)
            if handed or not target:
                continue
            to = file_of(target)
            if to != path and to != Path("lib.rs"):
                arrows[path].add(to)
    return arrows


ARROWS = imports()


def room(path):
    return path.with_suffix("").parts[0]


def order():
    """The rooms of the table in DEVELOPERS.md, from the first stage to the last."""
    text = (ROOT / "DEVELOPERS.md").read_text()
    return re.findall(r"^\| `src/(\w+)(?:\.rs)?` \|", text, flags=re.M)


def test_every_room_is_in_the_table():
    assert {room(path) for path in FILES} - {"lib", "main"} == set(order())


def test_imports_go_one_way():
    place = {name: i for i, name in enumerate(order())}
    back = [
        f"{path} takes from {to}"
        for path, others in sorted(ARROWS.items())
        for to in sorted(others)
        if room(path) in place and place[room(to)] > place[room(path)]
    ]
    assert not back, "\n".join(back)


def reach(start):
    seen, todo = set(), [start]
    while todo:
        for to in ARROWS[todo.pop()] - seen:
            seen.add(to)
            todo.append(to)
    return seen


def test_no_circle_of_more_than_two_files():
    ahead = {path: reach(path) for path in FILES}
    circles = {frozenset(to for to in ahead[path] if path in ahead[to]) for path in FILES if path in ahead[path]}
    large = [sorted(map(str, circle)) for circle in circles if len(circle) > 2]
    assert not large, "\n".join(map(str, large))


def test_a_type_name_has_one_meaning():
    places = defaultdict(list)
    for path, text in FILES.items():
        for name in re.findall(r"\bpub(?:\([a-z: ]+\))? (?:struct|enum|trait|type|union) (\w+)", text):
            places[name].append(str(path))
    several = {name: files for name, files in places.items() if len(files) > 1}
    assert not several, "\n".join(f"{name}: {', '.join(files)}" for name, files in sorted(several.items()))


def test_the_sources_were_read():
    """The checks above are of no worth if the reader finds nothing."""
    assert len(FILES) > 100 and sum(map(len, ARROWS.values())) > 300
    assert Path("kernel/contour.rs") in ARROWS[Path("kernel/region.rs")]
