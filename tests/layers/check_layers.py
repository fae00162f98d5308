#!/usr/bin/env python3
"""Data flows one way: a folder of src/ includes only folders above it (the order stands in src/CMakeLists.txt),
GL calls live in draw/, nothing from base to advice opens a file.

    check_layers.py ROOT            checks the tree, prints every breach, exits 1 when there is one
    check_layers.py ROOT --planted  plants breaches in a copy and exits 1 when one of them is not found
"""
import pathlib
import re
import shutil
import sys
import tempfile

INCLUDE = re.compile(r'^\s*#\s*include\s*["<]([^">]+)[">]', re.M)
GL = re.compile(r'#\s*include\s*["<](glad|EGL|GL|GLES\d?)/')
DISK = re.compile(r'#\s*include\s*<(fstream|filesystem|cstdio|stdio\.h)>')
WINDOW = re.compile(r'#\s*include\s*["<](GLFW/|imgui)')
KERNEL_BANNED = re.compile(r'\bgl_\w+|\bsampler\w*|\d\.?\d*f\b|\btexelFetch\b')


def layers(root):
    text = (root / "src/CMakeLists.txt").read_text()
    names = re.search(r"set\(RAKELIGHT_LAYERS ([^)]*)\)", text).group(1).split()
    return names + ["command"]


def without_comments(text):
    return re.sub(r"//[^\n]*", "", re.sub(r"/\*.*?\*/", "", text, flags=re.S))


def breaches(root):
    order = layers(root)
    found = []
    for folder in sorted(p.name for p in (root / "src").iterdir() if p.is_dir()):
        if folder not in order:
            found.append(f"src/{folder}: not in the order of src/CMakeLists.txt")
            continue
        above = set(order[: order.index(folder) + 1])
        for path in sorted((root / "src" / folder).glob("*.[ch]*")):
            text = without_comments(path.read_text())
            for target in INCLUDE.findall(text):
                first = target.split("/")[0]
                if "/" in target and first in order and first not in above:
                    found.append(f"{path.relative_to(root)}: includes {target}, which stands below {folder}")
            if GL.search(text) and folder != "draw":
                found.append(f"{path.relative_to(root)}: GL outside draw/")
            if WINDOW.search(text) and folder != "window":
                found.append(f"{path.relative_to(root)}: window libraries outside window/")
            if DISK.search(text) and order.index(folder) <= order.index("advice"):
                found.append(f"{path.relative_to(root)}: touches the disk above report/")
    for path in sorted((root / "shaders/kernels").glob("*.glsl")):
        for hit in KERNEL_BANNED.findall(without_comments(path.read_text())):
            found.append(f"{path.relative_to(root)}: {hit} in a kernel that C++ compiles too")
    return found


def planted(root):
    plants = [
        ("src/base/text.cpp", '#include "light/light.h"\n'),
        ("src/light/light.h", '#include "look/look.h"\n'),
        ("src/report/text.cpp", "#include <glad/gl.h>\n"),
        ("src/board/board.h", "#include <fstream>\n"),
        ("src/command/run.cpp", "#include <GLFW/glfw3.h>\n"),
        ("shaders/kernels/maths.glsl", "KERNEL float planted() { return gl_FragCoord.x; }\n"),
    ]
    missed = []
    with tempfile.TemporaryDirectory() as folder:
        copy = pathlib.Path(folder)
        for part in ("src", "shaders"):
            shutil.copytree(root / part, copy / part)
        if breaches(copy):
            return ["the tree has breaches before any was planted"]
        for name, line in plants:
            path = copy / name
            before = path.read_text()
            path.write_text(line + before)
            hits = [b for b in breaches(copy) if b.startswith(name)]
            path.write_text(before)
            print(f"planted in {name}: {'found' if hits else 'MISSED'}")
            if not hits:
                missed.append(name)
    return missed


def main():
    root = pathlib.Path(sys.argv[1])
    found = planted(root) if "--planted" in sys.argv else breaches(root)
    for line in found:
        print(line)
    print(f"{len(found)} breaches")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
