"""A second reader of the logger's memory, written from docs/log-format.md alone.

    python3 tests/log_decoder.py IMAGE [DEVICE]

It shares no line with the logger or with `holdoff`: what both read alike is what the document says. It prints one object:

    readings         how many readings the memory holds
    capacity_bytes   size of the memory
    records          all items, oldest page first, with the keys of `holdoff read IMAGE --json`; what that tells in words for
                     people (causes, details of actions), and more, stands as plain values under "raw"
    problems         pages missing or damaged, links that do not match, items that cannot be read, a missing tail

It checks CRC, header, place and order of the pages, both copies of the open one, the SHA-256 link of each to the one before,
the end of each coded stream and the extent of each body. DEVICE (16 hexadecimal digits) is the device number for the link of
page 0 where that page does not name it. The resin's own rules, signatures and all that needs the engine are not checked.
Exit status: 0; 1 with problems; 3 when it is no memory of the known version.
"""

import hashlib
import json
import sys
import zlib
from pathlib import Path

SLOT = 512
HEADER = 21
TAG = 8
HOLES = ["dry", "wet", "flooded"]
STAGES = "planned refused working curing held cured released rejected accepted-as-is removed".split()
REASONS = (
    "past-date no-reading too-cold too-warm cartridge hole-excluded seated-late not-seated below-reject held-too-long "
    "loaded-early above-reject over-torque untrusted-log probe-not-settled not-cleaned nozzle underfilled not-to-depth"
).split()
# The mark in a tag of a record that a reader may pass over.
MARK = 128
CLEANING = ["blow", "brush", "rinse", "dust-extracting-bit"]
FACTS = ["not declared", "yes", "no"]
LAXER = ["uncertainty", "longest-gap", "clock-ppm", "settle"]


class Unreadable(Exception):
    """The items of a page cannot be read."""


class UnknownMemory(Exception):
    """Not a memory of the one version this reader knows."""


def need(condition, what):
    if not condition:
        raise Unreadable(what)


def unfold(number):
    """0, 1, 2, 3, 4 stand for 0, -1, 1, -2, 2."""
    return -(number + 1 >> 1) if number & 1 else number >> 1


def below(limit, number):
    need(number < limit, f"{number} where no logger writes more than {limit - 1}")
    return number


def number_of(next_byte):
    """A number: groups of seven bits, lowest first, at most ten."""
    value = 0
    for group in range(10):
        byte = next_byte()
        value |= (byte & 0x7F) << 7 * group
        if byte < 128:
            return value
    raise Unreadable("a number of more than ten bytes")


class Coder:
    """Bits out of a stream."""

    def __init__(self, stream):
        self.stream = stream
        self.low, self.high, self.used = 0, 0xFFFFFFFF, 0
        self.value = int.from_bytes((stream + bytes(4))[:4], "big")

    def bit(self, one):
        width = self.high - self.low
        middle = self.low + (width >> 16) * one + ((width & 0xFFFF) * one >> 16)
        result = 1 if self.value <= middle else 0
        self.low, self.high = (self.low, middle) if result else (middle + 1, self.high)
        while self.low >> 24 == self.high >> 24:
            at = self.used + 4
            following = self.stream[at] if at < len(self.stream) else 0
            self.low = self.low << 8 & 0xFFFFFFFF
            self.high = (self.high << 8 | 0xFF) & 0xFFFFFFFF
            self.value = (self.value << 8 | following) & 0xFFFFFFFF
            self.used += 1
        return result

    def by(self, chance):
        one, seen = chance
        result = self.bit(one)
        one += (65536 - one) * 2 // (2 * seen + 3) if result else -(one * 2 // (2 * seen + 3))
        chance[:] = max(32, min(65504, one)), min(40, seen + 1)
        return result

    def bits(self, count):
        value = 0
        for _ in range(count):
            value = value << 1 | self.bit(32768)
        return value

    def number(self):
        return number_of(lambda: self.bits(8))

    def signed(self):
        return unfold(self.number())

    def finished(self):
        """The finished bytes and the ending byte."""
        return self.stream[: self.used] + bytes([(self.low >> 24) + 1])


class Body:
    """The fields of a record, one after another."""

    def __init__(self, content, last_at):
        self.content, self.at, self.last_at = content, 0, last_at

    def take(self, count):
        need(self.at + count <= len(self.content), "a body too short")
        self.at += count
        return self.content[self.at - count : self.at]

    def u8(self):
        return self.take(1)[0]

    def n(self):
        return number_of(self.u8)

    def s(self):
        return unfold(self.n())

    def t(self):
        return self.last_at + self.s()

    def text(self, most):
        length = self.u8()
        need(length <= most, "a text too long")
        content = self.take(length)
        try:
            return content.decode(), content.hex()
        except UnicodeDecodeError:
            return "?", content.hex()


def identity(body):
    device, firmware, source = body.take(8).hex(), list(body.take(3)), below(5, body.u8())
    capacity = SLOT << below(10, body.u8())
    raw = {"firmware": firmware, "source": source, "free_below": body.n()}
    return {"device": device, "capacity_bytes": capacity, "raw": raw}


def resin(body):
    flags = body.u8()
    raw = {"allowed": [hole for bit, hole in enumerate(HOLES) if flags >> bit & 1], "accrual": bool(flags >> 3 & 1)}
    raw["wet_factor"] = body.u8()
    for key in ["install", "cure", "cartridge"]:
        raw[key] = [body.s(), body.s()]
    raw["reject_below"] = body.s() if flags >> 4 & 1 else None
    raw["reject_above"] = body.s() if flags >> 5 & 1 else None
    raw["longest_hold_s"] = body.n() if flags >> 6 & 1 else None
    raw["bands"] = [[body.s(), body.n(), body.n()] for _ in range(body.u8())]
    record = {"demo": bool(flags >> 7), "file_sha256": body.take(32).hex()}
    record["name"], raw["name_hex"] = body.text(32)
    return record | {"raw": raw}


def job(body):
    record = {"file_sha256": body.take(32).hex()}
    for key in ["uncertainty_counts", "longest_gap_s", "clock_ppm", "settle_s"]:
        record[key] = body.n()
    flags = body.u8()
    below(16, flags & 0x7F)
    record["laxer"] = [name for bit, name in enumerate(LAXER) if flags >> bit & 1]
    record["rule"] = "accrual" if flags >> 7 else "coldest"
    return record | {"raw": {"interval_s": body.n()}}


def fixing(body):
    record = {"fixing": below(16, body.u8())}
    flags = body.u8()
    record["hole"] = HOLES[below(len(HOLES), flags & 0x7F)]
    raw = {"torque": [body.n(), body.n()] if flags >> 7 else None}
    record["label"], raw["label_hex"] = body.text(16)
    return record | {"raw": raw}


def batch(body):
    flags = body.u8()
    record = {"fixing": below(16, flags & 0x7F), "past_from": body.s() if flags >> 7 else None}
    record["batch"], content = body.text(24)
    return record | {"raw": {"batch_hex": content}}


def action(body):
    packed = body.u8()
    names = ["inject", "carried-out", "seat", "hole", "torque", "decide", "decide", "torqued-early"]
    names += ["clean", "nozzle", "discard", "seating"]
    kind = packed >> 4
    record = {"action": names[below(len(names), kind)], "fixing": packed & 15, "at_s": body.t()}
    raw = {}
    if kind == 0:
        flags = below(16, body.u8())
        raw["in_hole"] = [body.t(), body.s()] if flags & 1 else None
        raw["cartridge"] = body.s() if flags & 2 else None
        raw["cartridge_judged"] = body.s() if flags & 4 else None
        raw["past_from"] = body.t() if flags & 8 else None
    elif kind == 3:
        raw["hole"] = HOLES[below(len(HOLES), body.u8())]
    elif kind in (4, 7):
        raw["torque"] = body.n()
    elif kind == 8:
        raw["work"], raw["count"], raw["took_s"] = CLEANING[below(len(CLEANING), body.u8())], body.u8(), body.n()
    elif kind == 11:
        packed = body.u8()
        raw["excess"], raw["depth"] = (FACTS[below(len(FACTS), code)] for code in (packed & 15, packed >> 4))
    elif kind in (5, 6):
        raw["decision"] = "accept" if kind == 5 else "remove"
    return record | {"raw": raw}


def power_up(body):
    packed = body.u8()
    return {"dark": "unknown" if packed >> 7 else "known", "raw": {"cause": below(6, packed & 0x7F)}}


def clock_tie(body):
    at = body.t()
    return {"at_s": at, "raw": {"utc_s": at + body.s(), "offset_minutes": body.s()}}


def release(body):
    return {"fixing": below(16, body.u8()), "signed": body.take(len(body.content) - body.at).hex()}


def signed_head(body):
    signed = body.take(len(body.content) - body.at)
    placed = len(signed) == 50 + 64
    page, items = (int.from_bytes(signed[a:b], "little") for a, b in ((14, 18), (18, 20))) if placed else (None, None)
    return {"signed": signed.hex(), "signed_page": page, "signed_items": items}


def stage(body):
    packed = body.u8()
    record = {"fixing": packed & 15, "stage": STAGES[below(len(STAGES), packed >> 4)]}
    flags = below(4, body.u8())
    if flags & 1:
        record["at_s"] = body.t()
    grounds = below(1 << len(REASONS), body.n() if flags & 2 else 0)
    return record | {"reasons": [word for bit, word in enumerate(REASONS) if grounds >> bit & 1]}


def demands(body):
    flags, within = below(8, body.u8()), body.n()
    steps = [{"kind": CLEANING[below(len(CLEANING), body.u8())], "count": body.u8()} for _ in range(below(9, body.u8()))]
    need(1 <= within <= 14 * 86400, "an age of a cleaning out of bounds")
    need(bool(flags >> 2) == (within > 86400), "an age of a cleaning that is not said to be laxer")
    need(all(step["count"] for step in steps), "a step that is done no times")
    need(all(a["kind"] != b["kind"] for a, b in zip(steps, steps[1:])), "neighbours of one kind")
    need(steps or not flags & 1, "a record of nothing")
    words = ["required" if flags >> bit & 1 else "noted" for bit in (0, 1)]
    record = {"cleaning": steps, "cleaning_record": words[0], "clean_within_s": within, "nozzle_record": words[1]}
    return record


def person(body):
    record = {"person": below(8, body.u8())}
    record["name"], content = body.text(16)
    return record | {"raw": {"name_hex": content}}


def hands(body):
    code = below(9, body.u8())
    return {"person": code - 1 if code else None}


def supply(body):
    at, code = body.t(), below(65537, body.n())
    return {"at_s": at, "millivolts": code - 1 if code else None}


def passed_over(tag):
    def fields(body):
        body.take(len(body.content))
        return {"tag": tag}

    return fields


RECORDS = {
    1: ("identity", identity),
    2: ("resin", resin),
    3: ("job", job),
    4: ("fixing", fixing),
    5: ("batch", batch),
    6: ("action", action),
    7: ("power-up", power_up),
    8: ("clock-tie", clock_tie),
    9: ("loss", lambda body: {"count": body.n(), "first": body.t(), "at_s": body.t()}),
    10: ("untrusted", lambda body: {}),
    11: ("read-out", lambda body: {"below": body.n()}),
    12: ("freed", lambda body: {"below": body.n()}),
    13: ("release", release),
    14: ("stage", stage),
    15: ("candidate-accepted", lambda body: {"at_s": body.t(), "count": body.s()}),
    16: ("demands", demands),
    17: ("head", signed_head),
    MARK: ("supply", supply),
    MARK | 1: ("person", person),
    MARK | 2: ("hands", hands),
}


def read_items(page):
    """The items of a page one by one; each with the seal value after it."""
    coder = Coder(page.stream)
    last_at = last = beat = newer = older = 0
    hour, tie = None, page.tie
    other, unread = [256, 20], [4096, 10]
    moves, rises, upper = ([[32768, 2] for _ in range(count)] for count in (4, 3, 8))
    second = [[[32768, 2] for _ in range(2)] for _ in range(8)]
    more = [[[20000, 2] for _ in range(8)] for _ in range(4)]

    def step():
        nonlocal newer, older
        size = min(3, (abs(newer).bit_length() + abs(older).bit_length() + 1) // 2)
        move = 0
        if coder.by(moves[size]):
            rising = coder.by(rises[(newer > 0) - (newer < 0) + 1])
            e = 0
            while e < 15 and coder.by(more[size][min(e, 7)]):
                e += 1
            m, place = 1, min(e, 8) - 1
            if e >= 1:
                u = coder.by(upper[place])
                m = 2 + u
            if e >= 2:
                m = 2 * m + coder.by(second[place][u])
                m = m << (e - 2) | coder.bits(e - 2)
            move = m if rising else -m
        older, newer = newer, move
        return move

    for number in range(page.items):
        need(coder.used < len(page.stream), "the stream ends before its items")
        at = last_at + beat
        moved = False
        while True:
            if not coder.by(other):
                last += step() << page.shared_bits
                need(-32768 <= last <= 32767, "a count that does not fit")
                item = {"kind": "reading"}
                break
            kind = coder.bits(3)
            if kind in (1, 2):
                need(not moved, "two times in one item")
                moved = True
                later = coder.signed()
                at = last_at + later
                beat = later if kind == 2 else beat
                continue
            if kind == 0:
                at, beat = coder.signed(), coder.number()
            if kind in (0, 3):
                last = (coder.bits(16) ^ 0x8000) - 0x8000
                item = {"kind": "reading"}
            elif kind == 4:
                item = {"kind": "missing", "raw": {"cause": below(2, coder.bits(2))}}
            elif kind in (5, 6):
                item = {"kind": "unusable" if kind == 5 else "refused", "raw": {"cause": below(6, coder.bits(3))}}
            else:
                tag = coder.bits(8)
                length = below(441, coder.number())
                body = Body(bytes(coder.bits(8) for _ in range(length)), last_at)
                need(tag in RECORDS or tag & MARK, f"tag {tag} is none")
                name, fields = RECORDS.get(tag, ("passed-over", passed_over(tag)))
                item = {"kind": name} | fields(body)
                need(body.at == length, "a body too long for its fields")
                if name == "power-up":
                    tie = False
                elif name == "clock-tie":
                    tie = True
                    hour = item["at_s"] // 3600
            break
        if item["kind"] in ("reading", "missing", "unusable"):
            item["at_s"] = last_at = at
            if item["kind"] == "reading":
                item |= {"count": last, "celsius": last / 256}
            if tie and at // 3600 != hour:
                hour = at // 3600
                item.setdefault("raw", {})["clock_not_read"] = bool(coder.by(unread))
        yield item, page.seal(coder.finished(), number + 1)
    need(coder.finished() == page.stream, "the stream does not end as its items do")


class Page:
    """What stands in a slot and checks."""

    def __init__(self, slot, length):
        self.header = slot[:HEADER]
        self.stream = slot[HEADER : HEADER + length]
        end = HEADER + length
        self.number = int.from_bytes(slot[2:6], "little")
        self.slots_log2 = slot[6] & 15
        self.shared_bits = slot[6] >> 4
        origin = int.from_bytes(slot[7:9], "little")
        self.back = origin & 0x7FFF
        self.tie = bool(origin >> 15)
        self.link = slot[9:21]
        self.tag = slot[end : end + TAG]
        self.items = int.from_bytes(slot[end + TAG : end + TAG + 2], "little")
        self.often = bool(slot[end + TAG + 3] >> 7)

    def seal(self, stream, items):
        return hashlib.sha256(self.header + stream + items.to_bytes(2, "little")).digest()


def find_page(slot, place, slots):
    """The page in a slot; "blank" where nothing was written, "astray" where it belongs elsewhere, None where it is none."""
    if slot == slot[:1] * SLOT:
        return "blank"
    end = None
    for at in range(HEADER, SLOT - TAG - 7):
        counts = at + TAG
        if int.from_bytes(slot[counts + 2 : counts + 4], "little") & 0x7FFF == at - HEADER:
            if zlib.crc32(slot[: counts + 4]) == int.from_bytes(slot[counts + 4 : counts + 8], "little"):
                end = at
    if end is None or slot[:1] != b"H":
        return None
    if slot[1] != 1:
        raise UnknownMemory(f"a page of version {slot[1]}")
    page = Page(slot, end - HEADER)
    if 1 << page.slots_log2 != slots or page.shared_bits > 8 or page.back > min(1023, page.number):
        return None
    return page if (place - page.number) % slots in (0, 1) else "astray"


def tail_problem(found, newest, slots):
    """What speaks for pages taken away behind the newest one."""
    home, mirror, behind = (found[(newest.number + ahead) % slots] for ahead in range(3))
    if mirror is None and behind is None:
        return "the two slots behind the newest page are no pages"
    if newest.often:
        for name, copy in (("home", home), ("mirror", mirror)):
            if copy is not None and not (isinstance(copy, Page) and copy.number == newest.number):
                return f"the {name} of the newest page holds something else"
    return None


def decode(image, device):
    slots = len(image) // SLOT
    if len(image) % SLOT or slots not in (1 << log for log in range(3, 10)):
        raise UnknownMemory("a memory has a power of two of bytes, 4 KiB to 256 KiB")
    found = [find_page(image[place * SLOT :][:SLOT], place, slots) for place in range(slots)]
    pages = [page for page in found if isinstance(page, Page)]
    if not pages:
        raise UnknownMemory("no page at all")
    newest = max(pages, key=lambda page: (page.number, page.items))
    chosen = {newest.number: newest}
    for number in range(max(0, newest.number - slots + 1), newest.number):
        page = found[number % slots]  # only the newest page has a mirror
        if isinstance(page, Page) and page.number == number:
            chosen[number] = page
    problems = list(filter(None, [tail_problem(found, newest, slots)]))
    records, before = [], None
    for number in range(min(page.number - page.back for page in chosen.values()), newest.number + 1):
        page = chosen.get(number)
        if page is None:
            problems.append(f"page {number} is missing or damaged")
            before = None
            continue
        head = before
        try:
            for place, (item, seal) in enumerate(read_items(page)):
                if place == 0 and number == 0 and item["kind"] == "identity":
                    device = item["device"]
                if item["kind"] in ("release", "head"):
                    item.setdefault("raw", {})["head"] = head.hex() if head else None
                records.append({"page": number, "item": place} | item)
                head = seal
        except Unreadable as why:
            problems.append(f"page {number}: {why}")
        if number == 0 and device:
            before = hashlib.sha256(b"holdoff log 1" + bytes.fromhex(device)).digest()
        if before and page.link != before[:12]:
            problems.append(f"page {number}: its link does not match the page before")
        before = page.seal(page.stream, page.items)
    readings = sum(record["kind"] == "reading" for record in records)
    return {"readings": readings, "capacity_bytes": len(image), "records": records, "problems": problems}


def main():
    if len(sys.argv) not in (2, 3):
        sys.exit("usage: log_decoder.py IMAGE [DEVICE]")
    try:
        decoded = decode(Path(sys.argv[1]).read_bytes(), sys.argv[2] if len(sys.argv) == 3 else None)
    except UnknownMemory as why:
        print(why, file=sys.stderr)
        sys.exit(3)
    print(json.dumps(decoded, ensure_ascii=False))
    sys.exit(1 if decoded["problems"] else 0)


if __name__ == "__main__":
    main()
