"""The image of the board of docs/hardware.md, run on a model of its microcontroller and parts: board_model/check.py IMAGE HOLDOFF"""

import json
import math
import os
import re
import select
import subprocess
import sys
import tempfile
import time
import tty
import zlib
from datetime import datetime
from pathlib import Path

from chip import FROM_PC, UICR, Chip

UP, DOWN, LEFT, RIGHT, SELECT = 11, 12, 24, 25, 40
SEED = bytes(range(1, 33))
ROOT = Path(__file__).parents[2]
JOB, SCREENS = ROOT / "host-sim/demo/quay.toml", ROOT / "docs/screens"
HEADING = range(19, 36)  # the lines of a fixing's heading


class Pc:
    """`holdoff link` at the other end of the line."""

    def __init__(self, chip, program):
        self.chip, self.program, self.lost = chip, program, 0
        self.line, slave = os.openpty()
        tty.setraw(slave)
        self.name = os.ttyname(slave)

    def link(self, *arguments):
        chip = self.chip
        chip.set_pin(FROM_PC, 1)
        chip.run(chip.now + 0.05)
        assert chip.receiver, "a line that is high does not switch the receiver on"
        began, start, queue = chip.now, time.monotonic(), bytearray()
        command = [self.program, "link", self.name, *arguments]
        process = subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        while process.poll() is None:
            if select.select([self.line], [], [], 0.001)[0]:
                queue += os.read(self.line, 4096)
            while queue:
                self.lost += not chip.receive(queue.pop(0))
                chip.run(chip.now + 8.7e-5)
            chip.run(max(chip.now + 1e-3, began + time.monotonic() - start))
            if chip.sent:
                os.write(self.line, bytes(chip.sent))
                chip.sent.clear()
        chip.set_pin(FROM_PC, 0)
        said = process.stdout.read()
        assert process.returncode == 0, said
        return said


def listing(chip, program):
    with tempfile.NamedTemporaryFile() as file:
        file.write(chip.memory.bytes)
        file.flush()
        return json.loads(subprocess.run([program, "read", file.name, "--json"], check=True, capture_output=True).stdout)


def load(pc, interval):
    """Sets the clock and loads the job."""
    pc.link("clock", "--set", "--offset", "+01:00")
    pc.link("load", str(JOB), "--interval", interval, "--offset", "+01:00")


def inject(chip):
    """Injects the first fixing once the probe has settled. It is dark by then: the first press only lights it."""
    chip.run(chip.now + 190)
    chip.press(RIGHT, SELECT, SELECT, SELECT, RIGHT, SELECT)


def kept(name):
    """The points of a screen of docs/screens, by their lines: a grey picture of four pixels a point."""
    file, place, packed = (SCREENS / f"{name}.png").read_bytes(), 8, b""
    while place < len(file):
        length, kind = int.from_bytes(file[place:place + 4], "big"), file[place + 4:place + 8]
        packed += file[place + 8:place + 8 + length] if kind == b"IDAT" else b""
        place += 12 + length
    rows, before, wide = zlib.decompress(packed), bytearray(512), 512
    points = []
    for line in range(256):
        how, row = rows[line * (wide + 1)], bytearray(rows[line * (wide + 1) + 1:(line + 1) * (wide + 1)])
        for at in range(wide):
            left, above, corner = row[at - 1] if at else 0, before[at], before[at - 1] if at else 0
            guess = left + above - corner
            nearest = min((left, above, corner), key=lambda value: abs(guess - value))
            row[at] = row[at] + (0, left, above, (left + above) // 2, nearest)[how] & 255
        before = row
        if line % 4 == 0:
            points.append([row[4 * column] > 0 for column in range(128)])
    return points


def shows(chip, name, lines=range(64)):
    """Whether the display shows that screen, or the same in these lines."""
    picture, point = kept(name), chip.display.point
    return all(bool(point(column, line)) == picture[line][column] for line in lines for column in range(128))


def story(chip, program):
    chip.run(8.0)
    word = lambda address: int.from_bytes(chip.uc.mem_read(address, 4), "little")
    assert chip.resets == 1, "the first start sets up the part and resets it, once"
    assert (word(UICR + 0x304) & 7, word(UICR + 0x200), word(UICR + 0x208)) == (5, 18, 0), "3.3 V, reset pin, no debugging"
    assert chip.display.lit and not chip.display.noise_seen
    assert chip.clock.since and chip.clock.registers[2] >> 5 == 0 and chip.clock.registers[15] == 0x38

    chip.run(chip.now + 80)
    assert not chip.display.lit
    sleeps = chip.sleeps
    chip.run(chip.now + 600)
    assert chip.sleeps - sleeps < 60 and not chip.receiver, f"{chip.sleeps - sleeps} wakes in ten minutes with nothing to do"
    before = chip.now
    chip.press(DOWN)
    assert chip.display.lit and chip.now - before < 0.5, "a button wakes it"

    pc = Pc(chip, program)
    identity = pc.link("identity")
    assert "0123456789abcdef" in identity and "nrf52840" in identity, identity
    load(pc, "1min")
    status = pc.link("status")
    assert "12.19 °C" in status and "battery 4.50 V" in status, status
    assert pc.lost == 0, f"{pc.lost} bytes lost"
    chip.run(chip.now + 20)
    assert not chip.receiver, "the receiver stays on without a line"

    inject(chip)
    chip.run(chip.now + 60)
    chip.press(SELECT, SELECT, RIGHT, SELECT)
    chip.run(chip.now + 120)
    readings = listing(chip, program)["readings"]

    chip.held = 5  # a part that waits for so many pulses
    chip.run(chip.now + 60)
    assert chip.held is None and listing(chip, program)["readings"] > readings, "clock pulses free the bus"
    chip.held = "short"
    chip.run(chip.now + 20)
    chip.held = None
    chip.probe.plugged = False
    chip.run(chip.now + 61)
    chip.probe.plugged, chip.probe.configuration = True, 0
    chip.run(chip.now + 180)
    chip.reset_reasons |= 1
    chip.boot()
    chip.run(chip.now + 20)
    chip.reset_reasons |= 2
    chip.boot()
    chip.run(chip.now + 70)

    chip.boot()  # with no reason at all, but the RAM as it was
    chip.run(chip.now + 20)

    text = json.dumps(listing(chip, program))
    for found in ("inject", "seat", "the sensor did not answer", "the sensor's power-up value", "reset button", "watchdog", "supply too low"):
        assert found in text, f"no {found} in the log"
    assert '"dark": "unknown"' not in text, "the clock chip went on all the time"
    print(f"board_model: fine; {chip.sleeps} wakes in {chip.now:.0f} s of the board's time")


def cure(chip, program):
    """A whole cure at 24 °C, to a release that is proved."""
    chip.probe.sixteenths = 24 * 16
    chip.run(8.0)
    pc = Pc(chip, program)
    public = re.search("public key +([0-9a-f]{64})", pc.link("identity"))[1]
    load(pc, "1min")
    inject(chip)
    chip.run(chip.now + 90)
    chip.press(SELECT, SELECT, RIGHT, SELECT)
    chip.run(chip.now + 2.6 * 3600)
    chip.press(RIGHT, SELECT, DOWN, SELECT, SELECT, RIGHT, SELECT)
    chip.run(chip.now + 20)
    with tempfile.TemporaryDirectory() as folder:
        memory, keys = Path(folder, "memory.bin"), Path(folder, "public.key")
        memory.write_bytes(chip.memory.bytes)
        # the device is the part's own number, as docs/hardware.md says
        keys.write_text(f'[[key]]\nname = "model"\ndevice = "0123456789abcdef"\npublic = "{public}"\n')
        command = [program, "prove", str(memory), "--keys", str(keys), "--json"]
        said = json.loads(subprocess.run(command, capture_output=True).stdout)
    proved = [fixing for fixing in said["fixings"] if fixing["proved"] and fixing["released_at"]]
    assert len(proved) == 1, said
    print(f"board_model: a cure of {chip.now / 3600:.1f} h, released and proved")


def late(chip, program):
    """The working time ends: the display says so by itself, long before the next reading."""
    chip.probe.sixteenths = 24 * 16
    chip.run(8.0)
    pc = Pc(chip, program)
    load(pc, "5min")
    inject(chip)
    bar = lambda: sum(chip.display.point(column, 20) for column in range(128)) == 128
    fixing = lambda status: next(of for of in status["fixings"] if of["seat_by"])
    assert chip.display.lit and not bar(), "SEAT NOW stands in a frame"
    first = fixing(json.loads(pc.link("status", "--json")))
    assert first["stage"] == "working" and not first["too_late"], first
    end = chip.now + 3600
    while not bar() and chip.now < end:
        chip.run(chip.now + 0.5)
        assert chip.display.lit, "the working time keeps it lit"
    status = json.loads(pc.link("status", "--json"))
    at, by = (datetime.fromisoformat(stamp) for stamp in (status["at"], fixing(status)["seat_by"]))
    assert fixing(status)["stage"] == "working", "no reading was waited for"
    assert 0 < (at - by).total_seconds() < 6 and fixing(status)["too_late"], f"TOO LATE, on a bar, at {at}: {fixing(status)}"
    assert "TOO LATE: DO NOT SEAT" in pc.link("status")
    print("board_model: the working time is over when the clock says so")


def starved(chip, program):
    """Cells at 2.2 V while a fixing cures: every restart is dark, and the log takes no harm."""
    chip.probe.sixteenths = 24 * 16
    chip.run(8.0)
    pc = Pc(chip, program)
    load(pc, "1min")
    inject(chip)
    chip.run(chip.now + 90)
    chip.press(SELECT, SELECT, RIGHT, SELECT)
    chip.run(chip.now + 5)
    assert chip.display.lit
    chip.cells_mv = 2200
    before = bytes(chip.memory.bytes)
    for restart in range(25):
        chip.boot()  # as a dip of the supply does: no reason, and the RAM as it was
        chip.run(chip.now + 30)
        assert not chip.display.lit, f"restart {restart} has lit the display, or left it lit"
    assert bytes(chip.memory.bytes) == before, "restarts below empty write into the log"
    sleeps = chip.sleeps
    chip.run(chip.now + 3000)
    assert chip.sleeps - sleeps < 900, f"{chip.sleeps - sleeps} wakes in {50} minutes of waiting"
    assert bytes(chip.memory.bytes) == before, "after so many restarts an hour is waited"
    chip.run(chip.now + 700)
    assert not chip.display.lit and bytes(chip.memory.bytes) != before, "then it comes up, in the dark"
    ups = json.dumps(listing(chip, program)).count("supply too low")
    assert ups == 1, f"{ups} power-ups in the log"
    chip.press(DOWN)
    assert chip.display.lit, "a button lights it"
    chip.boot()
    chip.run(chip.now + 60)
    chip.cells_mv = 4500
    readings = listing(chip, program)["readings"]
    chip.run(chip.now + 200)
    assert listing(chip, program)["readings"] > readings, "with fresh cells it goes on"
    status = json.loads(pc.link("status", "--json"))
    assert [of["stage"] for of in status["fixings"]].count("curing") == 1, status
    print("board_model: starved, it stays dark and writes nothing")


def pocket(chip, program):
    """Concrete at -8 °C, a resin from -5 °C on, a probe out of a pocket of +20 °C with a time constant of five minutes."""
    chip.run(8.0)
    pc, since = Pc(chip, program), chip.now
    chip.probe.felt = lambda now: math.floor(16 * (-8 + 28 * math.exp(-max(now - since, 0) / 300)))
    load(pc, "1min")
    settling = 0
    for look in range(90):
        chip.run(chip.now + 20)
        # lights it, or shows another fixing and this one again
        chip.press(RIGHT, LEFT) if chip.display.lit else chip.press(RIGHT)
        assert chip.display.lit and not shows(chip, "may-inject", HEADING), "MAY INJECT on concrete at -8 °C"
        settling += shows(chip, "settling", HEADING)
        if look % 10 == 5:  # asked for all the same: the last fixing
            chip.press(LEFT, SELECT, SELECT, SELECT, RIGHT, SELECT)
            assert shows(chip, "start-refused", HEADING), "the start is not refused"
            chip.press(RIGHT)
    assert settling > 20, "SETTLING is not said"
    assert shows(chip, "do-not-inject-too-cold", HEADING), "in the end it is too cold"
    log = json.dumps(listing(chip, program))
    assert "probe-not-settled" in log and log.count('"stage": "working"') == 0, log
    stages = {of["stage"] for of in json.loads(pc.link("status", "--json"))["fixings"]}
    assert stages == {"planned", "refused"}, stages
    print(f"board_model: out of a warm pocket it settles for {settling // 3} minutes, and nothing is begun")


def no_supply(chip, program):
    """Cells at 2.2 V, where the probe needs 2.7 V: no reading is taken, and the display says why."""
    chip.run(8.0)
    pc = Pc(chip, program)
    load(pc, "1min")
    inject(chip)
    chip.run(chip.now + 60)
    chip.press(SELECT, SELECT, RIGHT, SELECT)
    chip.run(chip.now + 30)
    readings = lambda: json.loads(pc.link("status", "--json"))["loaded"]["readings"]
    before = readings()
    chip.cells_mv = 2200
    chip.run(chip.now + 161 * 60)
    status, after = json.loads(pc.link("status", "--json")), readings()
    assert after["accepted"] == before["accepted"] and after["refused"] >= 160, f"{before}, then {after}"
    assert [of["stage"] for of in status["fixings"]].count("curing") == 1, status
    log = json.dumps(listing(chip, program))
    for given in (4500, 2200):
        measured = given * 4096 // 6000 * 6000 // 4096
        assert f'"millivolts": {measured}' in log, f"{measured} mV are not in the log"
    assert not chip.display.lit, "empty cells light nothing"
    chip.press(DOWN)
    assert shows(chip, "supply-low"), "the display does not say why"
    chip.cells_mv = 4500
    chip.run(chip.now + 200)
    assert readings()["accepted"] > before["accepted"], "with fresh cells it goes on"
    print("board_model: a starved probe is not believed")


def born(chip, program):
    """A part without a key makes one at its first start, keeps it, and lets nobody look."""
    chip.uc.mem_write(UICR + 0x80, b"half of a key that was cut"[:16])  # an earlier start got no further
    chip.run(8.0)
    words = bytes(chip.uc.mem_read(UICR + 0x80, 27 * 4))
    seed, whole = words[36:68], words[68:72]
    assert words[32:36] == b"\xff" * 4 and whole == b"1KOH" and words[72:] == b"\xff" * 36, words.hex()
    assert len(set(seed)) > 20 and int.from_bytes(chip.uc.mem_read(UICR + 0x208, 4), "little") == 0, "debugging stays open"
    pc = Pc(chip, program)
    public = json.loads(pc.link("identity", "--json"))["public_key"]
    with tempfile.TemporaryDirectory() as folder:
        keys = f"{folder}/site.keys"
        said = pc.link("enrol", keys, "--name", "quay 7", "--by", "the foreman")
        text = open(keys).read()
    assert public and public in text and 'by = "the foreman"' in text and "0123456789abcdef" in said, text
    load(pc, "1min")
    chip.run(chip.now + 200)
    assert seed not in bytes(chip.memory.bytes) and seed.hex() not in text
    assert '"kind": "head"' in json.dumps(listing(chip, program)), "what it records is signed"
    print("board_model: a key is born in the part, stays there, and is enrolled")


def main(image, program):
    for told in (story, cure, late, starved, pocket, no_supply, born):
        chip = Chip(image, None if told is born else SEED)
        try:
            told(chip, program)
        except AssertionError:
            print("\n".join(chip.display.lines()), file=sys.stderr)
            raise


if __name__ == "__main__":
    main(*sys.argv[1:])
