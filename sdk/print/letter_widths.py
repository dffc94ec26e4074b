"""Advances of letters from a pair of TrueType faces, as the table letter_widths.hpp.

usage: letter_widths.py REGULAR.ttf BOLD.ttf            prints the table
       letter_widths.py REGULAR.ttf BOLD.ttf HEADER     fails when the header holds another

Reads the tables head, hhea, hmtx and cmap (format 4) of the OpenType specification; no library is needed.
"""
import struct
import sys

MARKS = [0x2013, 0x2014, 0x2018, 0x2019, 0x201A, 0x201C, 0x201D, 0x201E, 0x2022, 0x2026, 0x2032, 0x2033, 0x20AC, 0x2190, 0x2192, 0x2212]


def advances(path):
    """Thousandths of the em by code point."""
    with open(path, "rb") as file:
        font = file.read()

    def shorts(at, count):
        return struct.unpack(f">{count}H", font[at:at + 2 * count])

    tables = {}
    for i in range(shorts(4, 1)[0]):
        tag, _, offset, _ = struct.unpack(">4sIII", font[12 + 16 * i:28 + 16 * i])
        tables[tag.decode()] = offset
    em = shorts(tables["head"] + 18, 1)[0]
    metrics = shorts(tables["hhea"] + 34, 1)[0]
    cmap = tables["cmap"]
    for i in range(shorts(cmap + 2, 1)[0]):
        platform, encoding, offset = struct.unpack(">HHI", font[cmap + 4 + 8 * i:cmap + 12 + 8 * i])
        if (platform, encoding) == (3, 1):
            segments_at = cmap + offset
    assert shorts(segments_at, 1)[0] == 4, "a cmap of format 4"
    count = shorts(segments_at + 6, 1)[0] // 2
    ends = shorts(segments_at + 14, count)
    starts = shorts(segments_at + 16 + 2 * count, count)
    deltas = shorts(segments_at + 16 + 4 * count, count)
    offsets_at = segments_at + 16 + 6 * count
    offsets = shorts(offsets_at, count)

    def glyph(code):
        for i in range(count):
            if starts[i] <= code <= ends[i]:
                if offsets[i] == 0:
                    return (code + deltas[i]) & 0xFFFF
                found = shorts(offsets_at + 2 * i + offsets[i] + 2 * (code - starts[i]), 1)[0]
                return (found + deltas[i]) & 0xFFFF if found else 0
        return 0

    def advance(code):
        index = glyph(code)
        assert index, f"the face has no U+{code:04X}"
        return int(shorts(tables["hmtx"] + 4 * min(index, metrics - 1), 1)[0] * 1000 / em + 0.5)

    return advance


def rows(values):
    return "".join("    " + " ".join(f"{value}," for value in values[i:i + 16]) + "\n" for i in range(0, len(values), 16))


def table(regular, bold):
    text = """// Advances of letters in thousandths of the em: DejaVu Sans 2.37, written by letter_widths.py.
#pragma once

#include <array>
#include <cstdint>

namespace aumbry::print {

// clang-format off
"""
    for name, first, last in (("ascii", 0x20, 0x7E), ("latin", 0xA0, 0x17F)):
        for face, advance in (("regular", regular), ("bold", bold)):
            values = [advance(code) for code in range(first, last + 1)]
            text += f"/// U+{first:04X} to U+{last:04X}.\n"
            text += f"inline constexpr std::array<std::int16_t, {len(values)}> {name}_{face}{{\n{rows(values)}}};\n"
    text += "/// Marks beyond: code point, regular, bold; by code point.\n"
    text += f"inline constexpr std::array<std::array<std::int32_t, 3>, {len(MARKS)}> marks{{{{\n"
    text += "".join(f"    {{0x{code:04X}, {regular(code)}, {bold(code)}}},\n" for code in MARKS)
    return text + "}};\n// clang-format on\n\n} // namespace aumbry::print\n"


written = table(advances(sys.argv[1]), advances(sys.argv[2]))
if len(sys.argv) == 3:
    print(written, end="")
elif open(sys.argv[3], encoding="utf-8").read() != written:
    sys.exit(f"{sys.argv[3]} is not what the face says; write it anew with letter_widths.py")
