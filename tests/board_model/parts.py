"""The parts around the microcontroller, as their data sheets describe them: probe, clock chip, memory, display."""

import calendar
import time


def coded(value):
    return value // 10 << 4 | value % 10


def decimal(byte):
    return (byte >> 4) * 10 + (byte & 15)


class Probe:
    """A two's-complement sensor at 48h that has nine bits until it is set to twelve."""

    def __init__(self):
        self.sixteenths, self.plugged = 12 * 16 + 3, True
        self.felt = None  # sixteenths by time, where they are not always the same
        self.configuration, self.pointer = 0, 0

    def write(self, sent, now):
        self.pointer = sent[0]
        if len(sent) > 1 and sent[0] == 1:
            self.configuration = sent[1]

    def read(self, count, now):
        mask = 0xFFF if self.configuration & 0x60 == 0x60 else 0xFF8
        sixteenths = self.felt(now) if self.felt else self.sixteenths
        register = ((sixteenths & mask) << 4).to_bytes(2, "big")
        return (bytes([self.configuration]) * count if self.pointer == 1 else register * count)[:count]


class Clock:
    """A PCF8523 at 68h that has lost both its supplies."""

    def __init__(self):
        self.registers, self.pointer, self.since = bytearray(20), 0, None
        self.registers[2], self.registers[3] = 0xE0, 0x80

    def write(self, sent, now):
        self.pointer = sent[0]
        for place, byte in enumerate(sent[1:], sent[0]):
            self.registers[place] = byte
        if sent[0] == 3 and len(sent) == 8:
            second, minute, hour, day, weekday, month, year = (decimal(byte) for byte in sent[1:])
            utc = calendar.timegm((2000 + year, month, day, hour, minute, second))
            assert (time.gmtime(utc).tm_wday + 1) % 7 == weekday, "the weekday is wrong"
            self.since = (utc, now)

    def read(self, count, now):
        if self.since:
            utc = time.gmtime(int(self.since[0] + now - self.since[1]))
            fields = (utc.tm_sec, utc.tm_min, utc.tm_hour, utc.tm_mday, (utc.tm_wday + 1) % 7, utc.tm_mon, utc.tm_year % 100)
            self.registers[3:10] = bytes(coded(field) for field in fields)
        return bytes(self.registers[self.pointer:self.pointer + count])


class Memory:
    """A 64 KiB FRAM at 50h."""

    def __init__(self):
        self.bytes, self.pointer = bytearray(b"\xff" * 65536), 0

    def write(self, sent, now):
        self.pointer = int.from_bytes(sent[:2], "big")
        for byte in sent[2:]:
            self.bytes[self.pointer] = byte
            self.pointer = (self.pointer + 1) % 65536

    def read(self, count, now):
        read = bytes(self.bytes[(self.pointer + place) % 65536] for place in range(count))
        self.pointer = (self.pointer + count) % 65536
        return read


class Display:
    """An SSD1306 with noise in its memory."""

    WITH_ARGUMENT = (0x20, 0x81, 0x8D, 0xA8, 0xD3, 0xD5, 0xD9, 0xDA, 0xDB)
    ALONE = (0x40, 0xA1, 0xA4, 0xA6, 0xC8)

    def __init__(self):
        self.pages = [bytearray(b"\xa5" * 128) for _ in range(8)]
        self.page, self.column, self.lit, self.noise_seen = 0, 0, False, False

    def data(self, sent):
        for byte in sent:
            self.pages[self.page][self.column] = byte
            self.column = (self.column + 1) % 128

    def commands(self, sent):
        sent = iter(sent)
        for command in sent:
            if command < 0x10:
                self.column = self.column & 0xF0 | command
            elif command < 0x20:
                self.column = self.column & 0x0F | (command & 7) << 4
            elif 0xB0 <= command <= 0xB7:
                self.page = command & 7
            elif command in (0xAE, 0xAF):
                self.lit = command == 0xAF
                self.noise_seen |= self.lit and any(0xA5 in page for page in self.pages)
            elif command in self.WITH_ARGUMENT:
                next(sent)
            else:
                assert command in self.ALONE, f"no such command: {command:#x}"

    def point(self, column, line):
        """Whether a point is lit."""
        return int(self.lit and self.pages[line // 8][column] >> line % 8 & 1)

    def lines(self):
        """What is to be seen, two lines of points in one of characters."""
        block = lambda column, line: " ▀▄█"[self.point(column, line) | self.point(column, line + 1) << 1]
        return ["".join(block(column, line) for column in range(128)) for line in range(0, 64, 2)]
