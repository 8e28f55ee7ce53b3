#!/usr/bin/env python3
"""Page files -> one assembler file for the binary: tools/embed.py OUT.S index.html app.js app.css icon.svg

The files are taken in by .incbin into a read-only section, with the SHA-256 of each as text beside it:
ninja does not see through .incbin, but a changed page changes the hash in this file, and so the object.
Every file but index.html gets its hash in its path (app.js -> /app.0123456789ab.js), and index.html is
rewritten to ask for these paths. Read-only means: nothing but OUT.S and OUT.index.html is written.
"""
import hashlib
import os
import sys

TYPES = {
    ".html": "text/html; charset=utf-8",
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".svg": "image/svg+xml; charset=utf-8",
}
VERSION_DIGITS = 12


def versioned(name, digest):
    stem, ending = os.path.splitext(name)
    return f"{stem}.{digest[:VERSION_DIGITS]}{ending}"


def asset_rows(out, names):
    """[(path, type, sha256, file)], index.html last because it names the others."""
    index = [n for n in names if os.path.basename(n) == "index.html"]
    if len(index) != 1:
        sys.exit("embed.py: exactly one index.html is needed among the inputs")
    rows, page = [], open(index[0], encoding="utf-8").read()
    for name in names:
        if name in index:
            continue
        base = os.path.basename(name)
        digest = hashlib.sha256(open(name, "rb").read()).hexdigest()
        if f'"/{base}"' not in page:
            sys.exit(f'embed.py: index.html does not ask for "/{base}"')
        path = versioned(base, digest)
        page = page.replace(f'"/{base}"', f'"/{path}"')
        rows.append(("/" + path, TYPES[os.path.splitext(base)[1]], digest, name))

    written = out + ".index.html"
    with open(written, "w", encoding="utf-8") as file:
        file.write(page)
    digest = hashlib.sha256(page.encode()).hexdigest()
    rows.append(("/", TYPES[".html"], digest, written))
    return rows


def assembler(rows):
    """The text of OUT.S; .dc.a is a word as wide as an address, so it serves 32 and 64 bit alike."""
    lines = ["/* made by tools/embed.py: do not edit */", '.section .rodata,"a"']
    for i, (path, kind, digest, name) in enumerate(rows):
        lines += [f'.Lpath{i}: .asciz "{path}"', f'.Ltype{i}: .asciz "{kind}"', f'.Lhash{i}: .asciz "{digest}"',
                  ".balign 16", f'.Lfrom{i}: .incbin "{os.path.abspath(name)}"', f".Lto{i}: .byte 0"]
    lines += ['.section .data.rel.ro,"aw"', ".balign 16", ".globl dk_page_assets", "dk_page_assets:"]
    for i in range(len(rows)):
        lines += [f".dc.a .Lpath{i}, .Ltype{i}, .Lhash{i}, .Lfrom{i}", f".dc.a .Lto{i} - .Lfrom{i}"]
    lines += [".dc.a 0, 0, 0, 0, 0", ".size dk_page_assets, . - dk_page_assets",
              '.section .note.GNU-stack,"",%progbits', ""]
    return "\n".join(lines)


def main():
    if len(sys.argv) < 3:
        sys.exit(__doc__)
    out = sys.argv[1]
    rows = asset_rows(out, sys.argv[2:])
    with open(out, "w", encoding="utf-8") as file:
        file.write(assembler(rows))


if __name__ == "__main__":
    main()
