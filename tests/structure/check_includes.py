#!/usr/bin/env python3
"""Draws who includes whom among the folders of src/ and fails on an arrow upwards, or on two types of one name.

    check_includes.py ROOT LAYER...      lowest first, as in CMakeLists.txt

A header of include/seamwright belongs to the folder whose source has its name; those without one are listed here.
"""
import re
import sys
import tempfile
from pathlib import Path

HEADERS_ALONE = {
    "text": ["interval", "kept_list"],
    "quantity": ["checked", "constant", "constraint_id", "limits", "quantities"],
    "catalog": ["catalog", "heat_tables", "review_rules"],
    "physics": ["heat_range_id", "joint_type"],
    "input": ["input", "joint", "procedure_input"],
    "settle": ["case"],
    "window": ["margin"],
    "report": ["plan"],
}
# At the start of a line: in the namespace, not inside another type or a function.
TYPE = re.compile(r"^(?:struct|class|enum class) (\w+)(?: final)?(?: :[^;\n]*)? \{", re.MULTILINE)
INCLUDE = re.compile(r'^\s*#\s*include\s*"([^"]+)"', re.MULTILINE)


def headers_of(root, layers, alone, faults):
    """The folder of every header of include/seamwright, by its name."""
    listed = {name: layer for layer, names in alone.items() for name in names}
    folder = {}
    for header in sorted((root / "include/seamwright").glob("**/*.*")):
        name = header.stem
        owners = [layer for layer in layers if (root / "src" / layer / f"{name}.cpp").exists()]
        if name in listed:
            owners.append(listed.pop(name))
        if len(owners) == 1:
            folder[f"seamwright/{header.name}"] = owners[0]
        else:
            faults.append(f"{header.name} belongs to {' and '.join(owners) if owners else 'no folder'}: "
                          "give it a source of its name, or list it in check_includes.py")
    faults += [f"{name} is listed in check_includes.py, and is not there" for name in listed]
    return folder


def arrows(root, layers, alone, faults):
    """{(from, to): an example}, folders that include from other folders."""
    header_folder = headers_of(root, layers, alone, faults)
    files = [(root / "include" / name, layer) for name, layer in header_folder.items()]
    for path in sorted((root / "src").glob("**/*.[ch]pp")):
        layer = path.relative_to(root / "src").parts[0]
        if layer in layers:
            files.append((path, layer))
        else:
            faults.append(f"{path.relative_to(root)} is in a folder that is no layer")
    found = {}
    for path, layer in files:
        for name in INCLUDE.findall(path.read_text(encoding="utf-8")):
            if name.endswith(".inc"):  # tables written by the build
                continue
            target = header_folder.get(name)
            if target is None and (root / "src" / name).exists():
                target = name.split("/")[0]
            if target is None:
                faults.append(f"{path.relative_to(root)} includes {name}, which is not there")
            elif target != layer:
                found.setdefault((layer, target), f"{path.relative_to(root)} includes {name}")
    return found


def types_defined_twice(root):
    """Headers that define a type of the same name: the linker would take one for the other."""
    places = {}
    for path in sorted((root / "include").glob("**/*.hpp")) + sorted((root / "src").glob("**/*.hpp")):
        for name in set(TYPE.findall(path.read_text(encoding="utf-8"))):
            places.setdefault(name, []).append(str(path.relative_to(root)))
    return [f"{name} is defined in {' and '.join(files)}: two types need two names"
            for name, files in sorted(places.items()) if len(files) > 1]


def check(root, layers, alone):
    """(faults, the graph as text)."""
    faults = types_defined_twice(root)
    found = arrows(root, layers, alone, faults)
    height = {layer: i for i, layer in enumerate(layers)}
    faults += [f"{example}: {source} may not use {target}, which is above it"
               for (source, target), example in sorted(found.items()) if height[target] > height[source]]
    lines = []
    for layer in reversed(layers):
        used = [target for target in layers if (layer, target) in found]
        lines.append(f"  {layer:10} -> {', '.join(f'{t} (!)' if height[t] > height[layer] else t for t in used)}")
    return faults, "\n".join(lines)


def check_itself():
    """A tree with an arrow upwards, a header of nobody and an include of nothing: each is found."""
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        texts = {"include/seamwright/above.hpp": "", "include/seamwright/below.hpp": "",
                 "src/high/once.hpp": "struct One {\n};\nstruct Other;\n",
                 "src/high/above.cpp": '#include "seamwright/above.hpp"\n#include "seamwright/below.hpp"\n',
                 "src/low/below.cpp": '#include "seamwright/below.hpp"\n'}
        for name, text in texts.items():
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            (root / name).write_text(text, encoding="utf-8")
        assert check(root, ["low", "high"], {})[0] == []
        assert check(root, ["low", "high"], {"low": ["gone"]})[0] != []
        for name, text in {"src/low/below.cpp": '#include "seamwright/above.hpp"\n',
                           "include/seamwright/below.hpp": '  # include "seamwright/above.hpp"\n',
                           "include/seamwright/alone.hpp": "",
                           "src/other/odd.cpp": "",
                           "src/low/twice.hpp": "struct One {\n};\n",
                           "src/high/more.cpp": '#include "high/missing.hpp"\n'}.items():
            path = root / name
            before = path.read_text(encoding="utf-8") if path.exists() else None
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
            assert len(check(root, ["low", "high"], {})[0]) == 1, name
            path.unlink() if before is None else path.write_text(before, encoding="utf-8")


def main():
    check_itself()
    faults, graph = check(Path(sys.argv[1]), sys.argv[2:], HEADERS_ALONE)
    print(graph)
    for fault in faults:
        print(fault)
    sys.exit(1 if faults else 0)


if __name__ == "__main__":
    main()
